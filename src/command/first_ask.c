#include "command/first_ask.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <termios.h>
#include <unistd.h>

#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"

enum { ANSWER_COLS = 12 };

int first_hear(const char *prompt, char answer[ANSWER_SIZE])
{
    char line[1024];

    command_say_wrapped(0, ANSWER_COLS, "%s: ", prompt);
    if (!fgets(line, sizeof line, stdin)) {
        return -EPIPE;
    }
    line[strcspn(line, "\r\n")] = '\0';
    text_sanitize(answer, ANSWER_SIZE, text_skip_blanks(line), strlen(text_skip_blanks(line)));
    return strcasecmp(answer, "back") == 0 ? ASK_BACK : ASK_DONE;
}

void first_forget_typed(void)
{
    tcflush(STDIN_FILENO, TCIFLUSH); /* no terminal forgets nothing */
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
        command_say_wrapped(2, 0, _("  that is none of them\n"));
    }
    return r;
}

int first_set(struct job *job, const char *section, const char *key, const char *value)
{
    char why[JOB_ERROR_SIZE];
    int r = job_set(job, section, key, value, why);

    if (r < 0) {
        command_say_wrapped(2, 0, "  %s\n", why);
    }
    return r;
}
