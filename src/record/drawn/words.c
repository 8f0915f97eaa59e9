#include "record/drawn/words.h"

#include <math.h>
#include <stdio.h>

#include "base/tongue.h"
#include "record/handover_page.h"
#include "sky/utc.h"

const char *words_degrees(char text[WORDS_SIZE], double deg, bool sign)
{
    if (!isfinite(deg)) {
        snprintf(text, WORDS_SIZE, "-");
    } else {
        snprintf(text, WORDS_SIZE, sign ? "%+.2f°" : "%.2f°", handover_page_round(deg, 2));
    }
    return text;
}

static int level_decimals(enum level_unit unit)
{
    return unit == LEVEL_PERCENT ? 1 : unit == LEVEL_VOLT ? 3 : 2;
}

static void put_level(char text[WORDS_SIZE], double level, enum level_unit unit)
{
    const char *symbol = level_unit_symbol(unit, true);

    snprintf(text, WORDS_SIZE, "%.*f%s%s", level_decimals(unit),
             handover_page_round(level, level_decimals(unit)), symbol[0] ? " " : "", symbol);
}

const char *words_level(char text[WORDS_SIZE], double level, enum level_unit unit)
{
    if (isfinite(level)) {
        put_level(text, level, unit);
    } else {
        snprintf(text, WORDS_SIZE, "%s", _("not measured"));
    }
    return text;
}

const char *words_time(char text[WORDS_SIZE], const struct handover *handover, double t)
{
    struct utc_date date;

    if (!isfinite(t)) {
        snprintf(text, WORDS_SIZE, "-");
    } else if (utc_split(round(handover->begun_utc_s + t), &date) == 0) {
        snprintf(text, WORDS_SIZE, "%02d:%02d:%02.0f", date.hour, date.minute, date.second);
    } else {
        long s = lround(t);
        snprintf(text, WORDS_SIZE, "%ld:%02ld", s / 60, s % 60);
    }
    return text;
}

const char *words_duration(char text[WORDS_SIZE], double seconds)
{
    long s = lround(seconds);

    if (s < 60) {
        snprintf(text, WORDS_SIZE, _("%ld s"), s);
    } else if (s < 3600) {
        snprintf(text, WORDS_SIZE, _("%ld min %ld s"), s / 60, s % 60);
    } else {
        snprintf(text, WORDS_SIZE, _("%ld h %ld min"), s / 3600, s % 3600 / 60);
    }
    return text;
}

const char *words_found_by(enum handover_origin origin)
{
    static const char *const words[HANDOVER_ORIGINS] = {
        [HANDOVER_MEASURED] = N_("by sensor"),     [HANDOVER_READ] = N_("read off the scale"),
        [HANDOVER_COUNTED] = N_("turns counted"),  [HANDOVER_IMPLIED] = N_("implied"),
        [HANDOVER_COMPUTED] = N_("computed only"), [HANDOVER_GIVEN] = N_("as given"),
        [HANDOVER_UNKNOWN] = N_("not measured"),
    };

    return _(words[origin]);
}
