/* quiz_screen.c - a quiz on the screen: the session, with what is asked about covered. */
#include "base/text.h"
#include "base/tongue.h"
#include "command/quiz_face.h"

/* The cover says it all (quiz_face.c). */
static void nothing(struct quiz *quiz)
{
    (void)quiz;
}

static void question(struct quiz *quiz)
{
    face_around_message(quiz, "");                          /* the keys are to be seen */
    face_around_steered(quiz, &quiz->engine->scene, false); /* at once */
}

static void refuse(struct quiz *quiz)
{
    face_around_message(quiz, _(quiz_ways));
}

static void verdict(struct quiz *quiz, const char *said)
{
    char text[RECORD_TEXT_SIZE] = "";

    if (quiz->miss == QUIZ_RIGHT) {
        text_append(text, sizeof text, "%s", _("Right."));
    } else {
        text_append(text, sizeof text, _("Not so: %s. You said: %.100s"),
                    quiz_miss_text(quiz->miss), said);
    }
    face_around_message(quiz, text);
}

const struct quiz_voice quiz_on_screen = {
    .shows_session = true,
    .hears_always = true,
    .begin = nothing,
    .question = question,
    .refuse = refuse,
    .verdict = verdict,
    .outcome = nothing,
    .score = nothing,
};
