#include "coach/sentence.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"

void sentence_append_degrees(char *text, size_t size, double deg)
{
    deg = fabs(deg);
    text_append(text, size,
                deg < 0.995   ? "%.2f\u00b0"
                : deg < 19.95 ? "%.1f\u00b0"
                              : "%.0f\u00b0",
                deg);
}

/* "one and a quarter turns": of the bolt, to 1/8. */
static void append_turns(char *text, size_t size, double turns)
{
    /* TRANSLATORS: of a bolt; short, they are read and heard while the hand turns */
    static const char *const parts_of_turn[8] = {"",
                                                 N_("an eighth turn"),
                                                 N_("a quarter turn"),
                                                 N_("three eighths of a turn"),
                                                 N_("a half turn"),
                                                 N_("five eighths of a turn"),
                                                 N_("three quarters of a turn"),
                                                 N_("seven eighths of a turn")};
    /* TRANSLATORS: the second part of "one and a quarter turns" */
    static const char *const parts[8] = {
        "",           N_("an eighth"),    N_("a quarter"),      N_("three eighths"),
        N_("a half"), N_("five eighths"), N_("three quarters"), N_("seven eighths")};
    /* TRANSLATORS: turns of a bolt */
    static const char *const small[] = {"",         N_("one"),  N_("two"), N_("three"),
                                        N_("four"), N_("five"), N_("six")};
    long eighths = lround(fabs(turns) * 8.0);
    long whole = eighths / 8, part = eighths % 8;
    char count[24];

    if (eighths == 0) {
        text_append(text, size, "%s", _("less than an eighth of a turn"));
        return;
    }
    if (whole == 0) {
        text_append(text, size, "%s", _(parts_of_turn[part]));
        return;
    }
    if (whole < (long)(sizeof small / sizeof *small)) {
        snprintf(count, sizeof count, "%s", _(small[whole]));
    } else {
        snprintf(count, sizeof count, "%ld", whole);
    }
    if (part == 0) {
        text_append(text, size, tongue_say_count("%s turn", "%s turns", (unsigned long)whole),
                    count);
    } else {
        /* TRANSLATORS: "one and a quarter turns" */
        text_append(text, size, _("%s and %s turns"), count, _(parts[part]));
    }
}

/* "Right 0.46°, one and a quarter turns" */
static void put_turn(char *text, size_t size, const struct advice *advice, double signed_deg)
{
    const char *way = axis_way_word_first(advice->axis, signed_deg);
    char degrees[24] = "", turns[80] = "";

    sentence_append_degrees(degrees, sizeof degrees, signed_deg);
    if (isfinite(advice->turns)) {
        append_turns(turns, sizeof turns, advice->turns);
        /* TRANSLATORS: "Right 0.46°, one and a quarter turns" */
        text_append(text, size, _("%s %s, %s"), way, degrees, turns);
    } else {
        /* TRANSLATORS: "Right 0.46°" */
        text_append(text, size, _("%s %s"), way, degrees);
    }
}

void sentence_turn(struct advice *advice, const struct job *job, enum axis axis, double signed_deg,
                   const char *sentence)
{
    const char *place = strstr(sentence, "%s");
    char turn[RECORD_TEXT_SIZE] = "";

    assert(place);
    advice->axis = axis;
    advice->move = advice_move_toward(axis, signed_deg);
    advice->deg = fabs(signed_deg);
    advice->turns = fabs(signed_deg) / job->mount.axes[axis].turn_deg;
    put_turn(turn, sizeof turn, advice, signed_deg);
    advice->say[0] = '\0';
    text_append(advice->say, sizeof advice->say, "%.*s%s%s", (int)(place - sentence), sentence,
                turn, place + strlen("%s"));
}

/* A sentence too long for a record is cut between characters. */
static void put(char text[RECORD_TEXT_SIZE], const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));
static void put(char text[RECORD_TEXT_SIZE], const char *format, va_list arguments)
{
    char whole[2 * RECORD_TEXT_SIZE];

    vsnprintf(whole, sizeof whole, format, arguments);
    text_copy(text, RECORD_TEXT_SIZE, whole);
}

void sentence_stay(struct advice *advice, enum advice_move move, enum advice_until until,
                   const char *format, ...)
{
    va_list arguments;

    advice->move = move;
    advice->until = until;
    va_start(arguments, format);
    put(advice->say, format, arguments);
    va_end(arguments);
}

void sentence_why(struct advice *advice, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    put(advice->why, format, arguments);
    va_end(arguments);
}

double sentence_number(double value, int decimals)
{
    static const double units[] = {1.0, 10.0, 100.0, 1000.0};

    return round(value * units[decimals]) / units[decimals] + 0.0; /* -0.0 + 0.0 is 0.0 */
}
