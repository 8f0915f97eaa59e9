#include "command/quiz.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/quiz_face.h"
#include "command/start_log.h"

struct quiz *quiz_create(struct engine *engine, const char *log_path)
{
    struct quiz *quiz = calloc(1, sizeof *quiz);
    char session[sizeof engine->log_path], note[RECORD_TEXT_SIZE] = "";

    if (!quiz) {
        command_complain("quiz", fault_words(ENOMEM), NULL);
        return NULL;
    }
    quiz->engine = engine;
    quiz->log.fd = -1;
    text_copy(session, sizeof session, engine->log_path);
    if (start_log(engine, log_path) < 0) {
        free(quiz);
        return NULL;
    }
    /* the engine would write the session into it */
    quiz->log = engine->log;
    engine->log.fd = -1;
    text_copy(quiz->log_path, sizeof quiz->log_path, engine->log_path);
    text_copy(engine->log_path, sizeof engine->log_path, session);
    /* TRANSLATORS: kept in the log. "quiz: " stays: the report looks for it */
    text_append(note, sizeof note, _("quiz: questions about %s"), session);
    quiz_keep(quiz, note);
    engine->straight_on = true;
    return quiz;
}

void quiz_destroy(struct quiz *quiz)
{
    if (quiz) {
        log_close(&quiz->log);
        free(quiz);
    }
}

void quiz_keep(struct quiz *quiz, const char *text)
{
    struct record note = {.t = quiz->engine->state.t, .kind = RECORD_NOTE};

    text_copy(note.note.text, sizeof note.note.text, text);
    record_round(&note);
    log_write(&quiz->log, &note);
}

int quiz_run(struct quiz *quiz)
{
    struct engine *engine = quiz->engine;
    bool in_json = engine->face == &face_json, in_plain = engine->face == &face_plain;
    int status;

    quiz->voice = in_json ? &quiz_in_json : in_plain ? &quiz_in_sentences : &quiz_on_screen;
    quiz_face_put(quiz);
    status = engine_run(engine);
    quiz_sum_up(quiz);
    engine->face->close(engine->face_self);
    engine->face = NULL;
    if (quiz->voice == &quiz_on_screen) {
        command_say("%s\n", quiz->score);
    }
    if (in_json) {
        fprintf(stderr, "log: %s\n", quiz->log_path);
    } else {
        command_say(_("log: %s\n"), quiz->log_path);
    }
    return status == EXIT_DONE && quiz->left ? EXIT_NOT_DONE : status;
}
