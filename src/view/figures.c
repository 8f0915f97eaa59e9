#include "view/figures.h"

#include <math.h>
#include <stdio.h>

#include "base/tongue.h"

static const double most_shown = 1e6; /* what the columns have room for */

void figures_level_number(char text[FIGURES_SIZE], double value, enum level_unit unit)
{
    int decimals = unit == LEVEL_VOLT ? 2 : 1;

    if (!isfinite(value)) {
        snprintf(text, FIGURES_SIZE, "-");
        return;
    }
    if (fabs(value) >= most_shown) {
        snprintf(text, FIGURES_SIZE, "%.3g", value);
        return;
    }
    if (unit == LEVEL_RAW && fabs(value) >= 1000.0) {
        decimals = 0;
    }
    /* no "-0.0" */
    if (fabs(value) < 0.5 * pow(10.0, -decimals)) {
        value = 0.0;
    }
    snprintf(text, FIGURES_SIZE, "%.*f", decimals, value);
}

void figures_level(char text[FIGURES_SIZE], double value, enum level_unit unit)
{
    char number[FIGURES_SIZE];
    const char *symbol = level_unit_symbol(unit, true);

    figures_level_number(number, value, unit);
    snprintf(text, FIGURES_SIZE, "%.20s%s%s", number, symbol[0] ? " " : "", symbol);
}

void figures_degrees(char text[FIGURES_SIZE], double deg)
{
    if (!isfinite(deg) || fabs(deg) >= most_shown) {
        snprintf(text, FIGURES_SIZE, "-");
        return;
    }
    snprintf(text, FIGURES_SIZE, "%.2f\u00b0", fabs(deg) < 0.005 ? 0.0 : deg);
}

void figures_turns(char text[FIGURES_SIZE], double turns)
{
    static const char *const parts[8] = {"", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"};
    long eighths;

    text[0] = '\0';
    if (!isfinite(turns) || fabs(turns) >= most_shown) {
        return;
    }
    eighths = lround(fabs(turns) * 8.0);
    if (eighths == 0) {
        snprintf(text, FIGURES_SIZE, "<1/8");
    } else if (eighths < 8) {
        snprintf(text, FIGURES_SIZE, "%s", parts[eighths]);
    } else {
        snprintf(text, FIGURES_SIZE, "%ld%s%s", eighths / 8, eighths % 8 ? " " : "",
                 parts[eighths % 8]);
    }
}

void figures_turns_worded(char text[FIGURES_SIZE], double turns)
{
    char number[FIGURES_SIZE];

    figures_turns(number, turns);
    text[0] = '\0';
    if (number[0]) {
        snprintf(
            text, FIGURES_SIZE,
            tongue_say_count("%.20s turn", "%.20s turns", lround(fabs(turns) * 8.0) > 8 ? 2 : 1),
            number);
    }
}

void figures_clock(char text[FIGURES_SIZE], double seconds)
{
    long s = isfinite(seconds) && seconds > 0.0 && seconds < 1e9 ? (long)seconds : 0;

    if (s >= 3600) {
        snprintf(text, FIGURES_SIZE, "%ld:%02ld:%02ld", s / 3600, s / 60 % 60, s % 60);
    } else {
        snprintf(text, FIGURES_SIZE, "%ld:%02ld", s / 60, s % 60);
    }
}

void figures_age(char text[FIGURES_SIZE], double seconds)
{
    if (!isfinite(seconds) || seconds >= 1e9) {
        snprintf(text, FIGURES_SIZE, "%s", _("never"));
    } else if (seconds < 60.0) {
        snprintf(text, FIGURES_SIZE, "%.0f s", floor(fmax(seconds, 0.0)));
    } else if (seconds < 3600.0) {
        snprintf(text, FIGURES_SIZE, "%.0f min", floor(seconds / 60.0));
    } else {
        snprintf(text, FIGURES_SIZE, "%.0f h", floor(seconds / 3600.0));
    }
}
