/* first_meter.c - the meter of a first run: which port, what it says, how that is read. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/tongue.h"
#include "command/command.h"
#include "command/first_ask.h"
#include "command/mend.h"
#include "source/guess.h"
#include "source/pattern.h"
#include "source/ports.h"

static const char serial[] = "serial:", typed[] = "keys:";
static const double look_s = 3.0;

/* The port that was chosen; NULL = none, levels are typed. */
static const char *device_of(const struct job *job)
{
    for (size_t i = 0; i < job->source_count; i++) {
        if (strcmp(job->sources[i].name, "meter") == 0 &&
            strncmp(job->sources[i].address, serial, sizeof serial - 1) == 0) {
            return job->sources[i].address + sizeof serial - 1;
        }
    }
    return NULL;
}

int first_port(struct asking *asking, const void *what)
{
    struct job *job = asking->job;
    struct ports_entry ports[PORTS_MOST];
    char answer[ANSWER_SIZE], address[ANSWER_SIZE + sizeof serial], *end;
    int n = ports_list(ports, PORTS_MOST), number, r;

    (void)what;
    for (int i = 0; i < n; i++) {
        command_say_wrapped(2, 0, "  %d  %s  %s\n", i + 1, ports[i].device, ports[i].description);
    }
    r = first_hear(n > 0 ? _("Which port is the meter on (number or name; Enter: none, levels are "
                             "typed)")
                         : _("No serial port is here. Name one (Enter: none, levels are typed)"),
                   answer);
    if (r != ASK_DONE) {
        return r;
    }
    number = (int)strtol(answer, &end, 10);
    if (answer[0] && !*end && number >= 1 && number <= n) {
        text_copy(answer, sizeof answer, ports[number - 1].device);
    }
    snprintf(address, sizeof address, "%s%s", answer[0] ? serial : typed, answer);
    return first_set(job, "source meter", "address", address) < 0 ? -EPIPE : ASK_DONE;
}

int first_speed(struct asking *asking, const void *what)
{
    static const struct question speed = {"meter meter", "baud",
                                          N_("At how many baud does it speak"), "9600", "9600"};

    (void)what;
    return device_of(asking->job) ? first_question(asking->job, &speed) : ASK_NOTHING;
}

/* "level 12.1, lock" */
static void describe_reading(const struct pattern_reading *reading, char text[RECORD_TEXT_SIZE])
{
    text[0] = '\0';
    if (isfinite(reading->level)) {
        text_append(text, RECORD_TEXT_SIZE, _(", level %g"), reading->level);
    }
    if (reading->lock_said) {
        text_append(text, RECORD_TEXT_SIZE,
                    !reading->locked ? _(", no lock")
                    : reading->id[0] ? _(", lock on %s")
                                     : _(", lock"),
                    reading->id);
    }
    for (int i = 0; i < AXIS_COUNT; i++) {
        if (isfinite(reading->deg[i])) {
            text_append(text, RECORD_TEXT_SIZE, ", %s %.2f", axis_word((enum axis)i),
                        reading->deg[i]);
        }
    }
}

/* What the newest line that fits says. True when one does, or none was heard. */
static bool try_pattern(const char *text, char lines[PORTS_LINES][PORTS_LINE_SIZE], int n)
{
    char said[RECORD_TEXT_SIZE], why[RECORD_TEXT_SIZE];
    struct pattern_reading reading;
    struct pattern pattern;
    size_t position;

    if (n == 0 || pattern_compile(&pattern, text, &position, why) < 0) {
        return n == 0;
    }
    while (n-- > 0) {
        if (pattern_match(&pattern, lines[n], &reading)) {
            describe_reading(&reading, said);
            command_say_wrapped(2, 0, _("  read so it says: %s\n"),
                                said[0] ? said + 2 : _("nothing"));
            return true;
        }
    }
    command_say_wrapped(2, 0, _("  that reads none of these lines; the same once more keeps it\n"));
    return false;
}

/* The lines that came within some seconds; what is the matter when none did. */
static int listen_to(const struct job *job, const char *device,
                     char lines[PORTS_LINES][PORTS_LINE_SIZE])
{
    int baud = job->meters[0].baud, n;
    char mend[MEND_SIZE];

    command_say_wrapped(2, 0, _("Listening to %s ...\n"), device);
    n = ports_listen(device, baud, look_s, lines);
    first_forget_typed();
    if (n < 0) {
        mend_port(device, mend);
        command_say_wrapped(2, 0, _("  it can't be opened: %s\n"), fault_words(-n));
        command_say_wrapped(2, 0, "  -> %s\n", mend);
    } else if (n == 0) {
        command_say_wrapped(2, 0, _("  nothing came: is it on, is it really %d baud?\n"), baud);
    }
    for (int i = 0; i < n; i++) {
        command_say_wrapped(2, 0, "  %s\n", lines[i]);
    }
    return n > 0 ? n : 0;
}

int first_pattern(struct asking *asking, const void *what)
{
    struct job *job = asking->job;
    const char *device = device_of(job);
    char lines[PORTS_LINES][PORTS_LINE_SIZE], guess[PATTERN_TEXT_SIZE] = "";
    char prompt[2 * ANSWER_SIZE] = "", answer[ANSWER_SIZE], refused[ANSWER_SIZE] = "";
    int n, r;

    (void)what;
    if (!device) {
        return ASK_NOTHING;
    }
    n = listen_to(job, device, lines);
    for (int i = 0; i < n && !guess[0]; i++) {
        guess_pattern(lines[i], guess);
    }
    text_append(prompt, sizeof prompt,
                guess[0] ? _("How are its lines read; Enter: %s (like SNR={level}dB)")
                         : _("How are its lines read (like SNR={level}dB; Enter: another speed)"),
                guess);
    while ((r = first_hear(prompt, answer)) == ASK_DONE) {
        if (!answer[0] && !guess[0]) {
            return ASK_BACK;
        }
        text_copy(answer, sizeof answer, answer[0] ? answer : guess);
        if (first_set(job, "meter meter", "pattern", answer) == 0 &&
            (strcmp(answer, refused) == 0 || try_pattern(answer, lines, n))) {
            return ASK_DONE;
        }
        text_copy(refused, sizeof refused, answer);
    }
    return r;
}

int first_unit(struct asking *asking, const void *what)
{
    static const struct question unit = {
        "meter meter", "unit", N_("In which unit: dB, dBm, dBuV, percent, V or raw"), "dB", "dB"};

    (void)what;
    return device_of(asking->job) ? first_question(asking->job, &unit) : ASK_NOTHING;
}
