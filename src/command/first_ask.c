#include "command/first_ask.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "view/glyphs.h"

enum { SAY_SIZE = 2048, USUAL_COLS = 80, ANSWER_COLS = 12 };

static int terminal_columns(void)
{
    struct winsize size;

    return ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col
                                                                           : USUAL_COLS;
}

/* Turn the blank before a word that does not fit into a line's end. */
static void break_lines(char *text, int cols)
{
    char *blank = NULL, *line = text;

    for (char *p = text; *p; p++) {
        if (*p == '\n') {
            line = p + 1;
            blank = NULL;
            continue;
        }
        if (*p == ' ') {
            char kept = p[1];
            p[1] = '\0';
            if (glyphs_columns(line) > cols && blank) {
                *blank = '\n';
                line = blank + 1;
            }
            p[1] = kept;
            blank = p;
        }
    }
    if (glyphs_columns(line) > cols && blank) {
        *blank = '\n';
    }
}

void first_say(const char *format, ...)
{
    char text[SAY_SIZE];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    break_lines(text, terminal_columns());
    command_say("%s", text);
}

int first_hear(const char *prompt, char answer[ANSWER_SIZE])
{
    char line[1024], text[SAY_SIZE] = "";

    text_append(text, sizeof text, "%s: ", prompt);
    break_lines(text, terminal_columns() - ANSWER_COLS);
    command_say("%s", text);
    if (!fgets(line, sizeof line, stdin)) {
        return -EPIPE;
    }
    line[strcspn(line, "\r\n")] = '\0';
    text_sanitize(answer, ANSWER_SIZE, text_skip_blanks(line), strlen(text_skip_blanks(line)));
    return strcasecmp(answer, "back") == 0 ? ASK_BACK : ASK_DONE;
}

/* What was answered before; NULL = nothing. */
static const char *earlier(const struct job *job, const struct question *question)
{
    for (size_t i = job->setting_count; i-- > 0;) {
        if (strcmp(job->settings[i].section, question->section) == 0 &&
            strcmp(job->settings[i].key, question->key) == 0) {
            return job->settings[i].value;
        }
    }
    return NULL;
}

int first_question(struct job *job, const struct question *question)
{
    const char *otherwise = earlier(job, question);
    char prompt[2 * ANSWER_SIZE] = "", answer[ANSWER_SIZE], empty[ANSWER_SIZE];
    int r;

    otherwise = otherwise ? otherwise : question->otherwise;
    text_copy(empty, sizeof empty, otherwise ? otherwise : "");
    text_append(prompt, sizeof prompt,
                !otherwise ? _("%s (like %s)")
                : empty[0] ? _("%s (Enter: %s)")
                           : _("%s (like %s; Enter leaves it out)"),
                _(question->text), empty[0] ? empty : question->example);
    for (;;) {
        r = first_hear(prompt, answer);
        if (r != ASK_DONE) {
            return r;
        }
        if (!answer[0] && otherwise && !empty[0]) {
            return ASK_DONE;
        }
        if (first_set(job, question->section, question->key, answer[0] ? answer : empty) == 0) {
            return ASK_DONE;
        }
    }
}

int first_choose(const char *prompt, const char *const *words, int n, int *ret_chosen)
{
    char answer[ANSWER_SIZE];
    int r;

    while ((r = first_hear(prompt, answer)) == ASK_DONE) {
        for (int i = 0; i < n; i++) {
            if (!answer[0] || strcasecmp(answer, words[i]) == 0) {
                *ret_chosen = i;
                return ASK_DONE;
            }
        }
        first_say(_("  that is none of them\n"));
    }
    return r;
}

int first_set(struct job *job, const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE];
    int r = job_set(job, section, key, value, why);

    if (r < 0) {
        first_say("  %s\n", why);
    }
    return r;
}
