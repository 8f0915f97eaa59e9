/*
 * plain.c - the session as sentences, one a line, for screen readers, dumb terminals and files. No
 * terminal control, no colour. The operator's words come line by line on standard input.
 */
#include <errno.h>
#include <langinfo.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "view/ear.h"
#include "view/face.h"
#include "view/glyphs.h"
#include "view/line_input.h"
#include "view/now.h"
#include "view/own_words.h"
#include "view/tell.h"

struct plain {
    struct line_input input;
    struct tell tell;
    struct ear ear;
    bool ascii;
};

static void say(void *to, const char *sentence)
{
    const struct plain *plain = to;
    char folded[2 * TELL_SIZE];

    if (plain->ascii) {
        glyphs_fold(folded, sizeof folded, sentence);
        sentence = folded;
    }
    puts(sentence);
    fflush(stdout);
}

static int plain_open(void **ret_self, char why[RECORD_TEXT_SIZE])
{
    struct plain *plain = calloc(1, sizeof *plain);

    if (!plain) {
        text_copy(why, RECORD_TEXT_SIZE, fault_words(ENOMEM));
        return -ENOMEM;
    }
    line_input_init(&plain->input, STDIN_FILENO);
    tell_init(&plain->tell, say, plain);
    ear_init(&plain->ear);
    plain->ascii = strcmp(nl_langinfo(CODESET), "UTF-8") != 0;
    *ret_self = plain;
    return 0;
}

static int plain_fd(const void *self)
{
    (void)self;
    return STDIN_FILENO;
}

/* Whether the line is for this face itself. */
static bool obeys(struct plain *plain, const struct face_scene *scene, const char *line)
{
    switch (own_word_find(line)) {
    case OWN_WORD_NOW:
        now_say(scene, say, plain);
        return true;
    case OWN_WORD_TONE:
        say(plain, ear_toggle(&plain->ear, SOUND_TONE));
        return true;
    case OWN_WORD_ALOUD:
        say(plain, ear_toggle(&plain->ear, SOUND_SPEECH));
        return true;
    default:
        return false;
    }
}

static int plain_input(void *self, const struct face_scene *scene, char words[FACE_WORDS_SIZE])
{
    struct plain *plain = self;
    int r;

    while ((r = line_input_next(&plain->input, words)) == -EMSGSIZE ||
           (r == 1 && obeys(plain, scene, words))) {
        if (r == -EMSGSIZE) {
            say(plain, _("That line was too long and is left out."));
        }
    }
    return r;
}

static void plain_record(void *self, const struct face_scene *scene, const struct record *record)
{
    struct plain *plain = self;

    tell_record(&plain->tell, scene, record);
    ear_record(&plain->ear, scene, record);
}

static void plain_steered(void *self, const struct face_scene *scene, bool sought)
{
    struct plain *plain = self;

    tell_steered(&plain->tell, scene, sought);
    ear_steered(&plain->ear, scene, sought);
}

static void plain_show(void *self, const struct face_scene *scene)
{
    struct plain *plain = self;
    const char *why = ear_show(&plain->ear, scene->state, fmax(scene->t, scene->state->t));

    if (why) {
        say(plain, why);
    }
}

static void plain_message(void *self, const char *text)
{
    say(self, text);
}

static double plain_wake(const void *self, double t)
{
    (void)self;
    (void)t;
    return INFINITY;
}

static void plain_close(void *self)
{
    struct plain *plain = self;

    if (plain) {
        ear_finish(&plain->ear);
        free(plain);
    }
}

const struct face_ops face_plain = {
    .name = "plain",
    .open = plain_open,
    .fd = plain_fd,
    .input = plain_input,
    .record = plain_record,
    .steered = plain_steered,
    .show = plain_show,
    .message = plain_message,
    .wake = plain_wake,
    .close = plain_close,
};
