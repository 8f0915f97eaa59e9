#include "session/record.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/tongue.h"
#include "session/record_names.h"

static const char *const kind_names[RECORD_KIND_COUNT] = {
    [RECORD_FIX] = "fix",     [RECORD_UTC] = "utc",       [RECORD_ANGLES] = "angles",
    [RECORD_LEVEL] = "level", [RECORD_LOCK] = "lock",     [RECORD_AUX] = "aux",
    [RECORD_MOVE] = "move",   [RECORD_NOTE] = "note",     [RECORD_SOURCE] = "source",
    [RECORD_STEP] = "step",   [RECORD_ADVICE] = "advice", [RECORD_MARK] = "mark",
};

static const char *const move_names[ADVICE_MOVE_COUNT] = {
    [ADVICE_LEFT] = "left",
    [ADVICE_RIGHT] = "right",
    [ADVICE_UP] = "up",
    [ADVICE_DOWN] = "down",
    [ADVICE_CLOCKWISE] = "clockwise",
    [ADVICE_ANTICLOCKWISE] = "anticlockwise",
    [ADVICE_HOLD] = "hold",
    [ADVICE_WAIT] = "wait",
    [ADVICE_TIGHTEN] = "tighten",
    [ADVICE_PUSH] = "push",
    [ADVICE_PULL] = "pull",
    [ADVICE_CONFIRM] = "confirm",
    [ADVICE_DONE] = "done",
};

const char *const record_status_names[RECORD_STATUS_COUNT] = {
    [SOURCE_UP] = "up",
    [SOURCE_DOWN] = "down",
    [SOURCE_SILENT] = "silent",
    [SOURCE_BAD] = "bad",
};

const char *const record_event_names[RECORD_EVENT_COUNT] = {
    [STEP_DONE] = "done",     [STEP_SKIP] = "skip",   [STEP_BACK] = "back",
    [STEP_REPEAT] = "repeat", [STEP_ENTER] = "enter", [STEP_LEAVE] = "leave",
};

const char *const record_until_names[UNTIL_COUNT] = {
    [UNTIL_NONE] = "",           [UNTIL_ARRIVED] = "arrived", [UNTIL_DWELL] = "dwell",
    [UNTIL_CARRIER] = "carrier", [UNTIL_ANSWER] = "answer",   [UNTIL_SOURCE] = "source",
};

static const enum advice_move axis_moves[AXIS_COUNT][2] = {
    [AXIS_AZIMUTH] = {ADVICE_LEFT, ADVICE_RIGHT},
    [AXIS_ELEVATION] = {ADVICE_DOWN, ADVICE_UP},
    [AXIS_SKEW] = {ADVICE_ANTICLOCKWISE, ADVICE_CLOCKWISE},
};

const char *record_kind_name(enum record_kind kind)
{
    return kind_names[kind];
}

const char *advice_move_name(enum advice_move move)
{
    return move_names[move];
}

bool advice_parse_move(const char *name, enum advice_move *ret_move)
{
    for (int i = 0; i < ADVICE_MOVE_COUNT; i++) {
        if (strcmp(name, move_names[i]) == 0) {
            *ret_move = (enum advice_move)i;
            return true;
        }
    }
    return false;
}

enum advice_move advice_move_toward(enum axis axis, double sign)
{
    return axis < AXIS_COUNT ? axis_moves[axis][sign >= 0.0] : ADVICE_HOLD;
}

double advice_signed_deg(const struct advice *advice)
{
    if (advice->axis >= AXIS_COUNT || advice->move > ADVICE_ANTICLOCKWISE) {
        return NAN;
    }
    return advice->move == advice_move_toward(advice->axis, 1.0) ? advice->deg : -advice->deg;
}

bool advice_bends(enum advice_move move)
{
    return move == ADVICE_PUSH || move == ADVICE_PULL;
}

bool record_is_made(const struct record *record)
{
    return record->kind == RECORD_ADVICE ||
           (record->kind == RECORD_STEP && record->step.event >= STEP_ENTER);
}

static const char *body_wrong(const struct record *record)
{
    switch (record->kind) {
    case RECORD_FIX:
        return record->fix.mode < 2 ||
                       (fabs(record->fix.lat_deg) <= 90.0 && fabs(record->fix.lon_deg) <= 360.0)
                   ? NULL
                   : _("a fix needs lat within 90 and lon within 360 degrees");
    case RECORD_UTC:
        return isfinite(record->utc.unix_s) ? NULL : _("utc needs unix_s");
    case RECORD_ANGLES:
        for (int i = 0; i < AXIS_COUNT; i++) {
            if (fabs(record->angles.deg[i]) > 720.0) {
                return _("an angle is beyond 720 degrees");
            }
        }
        return NULL;
    case RECORD_LEVEL:
        if (!isfinite(record->level.value)) {
            return _("a level needs a value");
        }
        return fabs(record->level.value) <= RECORD_HIGHEST_LEVEL
                   ? NULL
                   : _("a level is beyond what any meter shows");
    case RECORD_AUX:
        return isfinite(record->aux.value) ? NULL : _("aux needs a value");
    case RECORD_MOVE:
        if (record->move.axis >= AXIS_COUNT) {
            return _("axis is none of azimuth elevation skew");
        }
        return isfinite(record->move.deg) || isfinite(record->move.turns)
                   ? NULL
                   : _("a move needs deg or turns");
    default:
        return NULL;
    }
}

const char *record_wrong(const struct record *record)
{
    if (!(record->t >= 0.0)) {
        return _("t is missing or negative");
    }
    return record->t <= RECORD_LONGEST_S ? body_wrong(record) : _("t is beyond thirty years");
}

/*
 * Rounding. The quotient of two whole doubles is the double nearest to the decimal, so the number
 * survives being written with 15 digits and read back. One that has more digits than that loses
 * them here and not in the log.
 */
static void round_to(double *value, double per_unit)
{
    char digits[32];

    if (fabs(*value) < 1e15 / per_unit) {
        *value = round(*value * per_unit) / per_unit;
    } else if (isfinite(*value)) {
        snprintf(digits, sizeof digits, "%.14e", *value);
        *value = strtod(digits, NULL);
    }
    if (*value == 0.0) {
        *value = 0.0; /* no "-0.0" in a log */
    }
    if (isinf(*value)) {
        *value = NAN; /* a log has no word for it */
    }
}

static void round_advice(struct advice *advice)
{
    round_to(&advice->deg, 1e3);
    round_to(&advice->turns, 1e3);
    round_to(&advice->rate, 1e3);
}

void record_round(struct record *record)
{
    round_to(&record->t, 1e3);
    switch (record->kind) {
    case RECORD_FIX:
        round_to(&record->fix.lat_deg, 1e8);
        round_to(&record->fix.lon_deg, 1e8);
        round_to(&record->fix.height_m, 1e2);
        round_to(&record->fix.error_m, 1e2);
        break;
    case RECORD_UTC:
        round_to(&record->utc.unix_s, 1e3);
        break;
    case RECORD_ANGLES:
        for (int i = 0; i < AXIS_COUNT; i++) {
            round_to(&record->angles.deg[i], 1e4);
        }
        break;
    case RECORD_LEVEL:
        round_to(&record->level.value, 1e4);
        break;
    case RECORD_AUX:
        round_to(&record->aux.value, 1e6);
        break;
    case RECORD_MOVE:
        round_to(&record->move.deg, 1e4);
        round_to(&record->move.turns, 1e4);
        break;
    case RECORD_ADVICE:
        round_advice(&record->advice);
        break;
    case RECORD_LOCK:
    case RECORD_NOTE:
    case RECORD_SOURCE:
    case RECORD_STEP:
    case RECORD_MARK:
    case RECORD_KIND_COUNT:
        break;
    }
}
