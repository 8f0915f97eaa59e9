#include "coach/sentence.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "base/text.h"

void sentence_append_degrees(char *text, size_t size, double deg)
{
    deg = fabs(deg);
    text_append(text, size,
                deg < 0.995   ? "%.2f\u00b0"
                : deg < 19.95 ? "%.1f\u00b0"
                              : "%.0f\u00b0",
                deg);
}

void sentence_append_turns(char *text, size_t size, double turns)
{
    static const char *const parts[8] = {
        "",       "an eighth",    "a quarter",      "three eighths",
        "a half", "five eighths", "three quarters", "seven eighths"};
    static const char *const small[] = {"", "one", "two", "three", "four", "five", "six"};
    long eighths = lround(fabs(turns) * 8.0);
    long whole = eighths / 8, part = eighths % 8;
    char count[24];

    if (eighths == 0) {
        text_append(text, size, "less than an eighth of a turn");
        return;
    }
    if (whole == 0) {
        text_append(text, size, "%s%s", parts[part],
                    part == 1 || part == 2 ? " turn"
                    : part == 4            ? " turn"
                                           : " of a turn");
        return;
    }
    if (whole < (long)(sizeof small / sizeof *small)) {
        snprintf(count, sizeof count, "%s", small[whole]);
    } else {
        snprintf(count, sizeof count, "%ld", whole);
    }
    if (part == 0) {
        text_append(text, size, "%s turn%s", count, whole == 1 ? "" : "s");
    } else {
        text_append(text, size, "%s and %s turns", count, parts[part]);
    }
}

void sentence_turn(struct advice *advice, const struct job *job, enum axis axis, double signed_deg,
                   const char *tail)
{
    double turn_deg = job->mount.axes[axis].turn_deg;

    advice->axis = axis;
    advice->move = advice_move_toward(axis, signed_deg);
    advice->deg = fabs(signed_deg);
    advice->turns = fabs(signed_deg) / turn_deg;
    text_copy(advice->say, sizeof advice->say, advice_move_name(advice->move));
    text_capitalise(advice->say);
    text_append(advice->say, sizeof advice->say, " ");
    sentence_append_degrees(advice->say, sizeof advice->say, signed_deg);
    if (isfinite(advice->turns)) {
        text_append(advice->say, sizeof advice->say, ", ");
        sentence_append_turns(advice->say, sizeof advice->say, advice->turns);
    }
    text_append(advice->say, sizeof advice->say, "%s.", tail);
}

void sentence_stay(struct advice *advice, enum advice_move move, enum advice_until until,
                   const char *format, ...)
{
    va_list arguments;

    advice->move = move;
    advice->until = until;
    va_start(arguments, format);
    vsnprintf(advice->say, sizeof advice->say, format, arguments);
    va_end(arguments);
}

void sentence_why(struct advice *advice, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(advice->why, sizeof advice->why, format, arguments);
    va_end(arguments);
}
