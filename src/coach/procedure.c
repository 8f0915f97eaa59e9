#include "coach/procedure.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/spelling.h"
#include "base/text.h"
#include "base/tongue.h"

static const char *const act_names[DO_COUNT] = {
    [DO_CONFIRM] = "confirm", [DO_FIX] = "fix",           [DO_SET] = "set",
    [DO_SWEEP] = "sweep",     [DO_IDENTIFY] = "identify", [DO_PEAK] = "peak",
    [DO_NULL] = "null",       [DO_TIGHTEN] = "tighten",   [DO_MEASURE] = "measure",
    [DO_RECORD] = "record",
};

#define ACT(act) (1u << (act))

const struct procedure_key procedure_keys[] = {
    {"do", (1u << DO_COUNT) - 1, 0, 0, 0},
    {"axis", ACT(DO_SET) | ACT(DO_SWEEP) | ACT(DO_PEAK) | ACT(DO_NULL), 0, 0, 0},
    {"text", ACT(DO_CONFIRM), 0, 0, 0},
    {"tolerance", ACT(DO_SET), offsetof(struct procedure_step, tolerance_deg), 0.01, 10.0},
    {"span", ACT(DO_SWEEP), offsetof(struct procedure_step, span_deg), 0.5, 180.0},
    {"rate", ACT(DO_SWEEP), offsetof(struct procedure_step, rate_deg_s), 0.01, 20.0},
    {"limit", ACT(DO_TIGHTEN), offsetof(struct procedure_step, limit_db), 0.01, 6.0},
    {"dwell", ACT(DO_MEASURE), offsetof(struct procedure_step, dwell_s), 0.1, 600.0},
    {.key = NULL},
};

const char *procedure_do_name(enum procedure_do act)
{
    return act_names[act];
}

void procedure_init(struct procedure *procedure, const char *name)
{
    *procedure = (struct procedure){.step_count = 0};
    text_copy(procedure->name, sizeof procedure->name, name);
}

/* --- what is wrong, in words ---------------------------------------------------------------- */

void procedure_key_allowed(const struct procedure_key *row, char ret_text[PROCEDURE_ALLOWED_SIZE])
{
    ret_text[0] = '\0';
    if (strcmp(row->key, "do") == 0) {
        for (int i = 0; i < DO_COUNT; i++) {
            tongue_list(ret_text, PROCEDURE_ALLOWED_SIZE, act_names[i], i == DO_COUNT - 1);
        }
    } else if (strcmp(row->key, "axis") == 0) {
        text_copy(ret_text, PROCEDURE_ALLOWED_SIZE, _("azimuth, elevation or skew"));
    } else if (strcmp(row->key, "text") == 0) {
        text_append(ret_text, PROCEDURE_ALLOWED_SIZE,
                    _("a text of 1 to %d bytes, all lines together"), PROCEDURE_TEXT_SIZE - 1);
    } else {
        text_append(ret_text, PROCEDURE_ALLOWED_SIZE, _("a number from %g to %g"), row->least,
                    row->most);
    }
}

static int refuse_value(const struct procedure_key *row, const char *value, char *why, size_t size)
{
    char shown[PROCEDURE_TEXT_SIZE], allowed[PROCEDURE_ALLOWED_SIZE];

    text_sanitize(shown, sizeof shown, value, strlen(value));
    procedure_key_allowed(row, allowed);
    text_append(why, size, _("%s = %s: allowed is %s"), row->key, shown[0] ? shown : _("(nothing)"),
                allowed);
    return -EINVAL;
}

static int refuse_key(const char *key, const char *value, char *why, size_t size)
{
    struct spelling spelling;
    char shown_key[64], shown[64], keys[PROCEDURE_ALLOWED_SIZE] = "";

    text_sanitize(shown_key, sizeof shown_key, key, strlen(key));
    text_sanitize(shown, sizeof shown, value, strlen(value));
    spelling_start(&spelling, key);
    for (const struct procedure_key *row = procedure_keys; row->key; row++) {
        spelling_try(&spelling, row->key);
        text_append(keys, sizeof keys, "%s%s", keys[0] ? " " : "", row->key);
    }
    if (spelling.nearest) {
        text_append(why, size, _("%s = %s: a step has no such key: is %s meant?"), shown_key, shown,
                    spelling.nearest);
    } else {
        text_append(why, size, _("%s = %s: a step has no such key: allowed are %s"), shown_key,
                    shown, keys);
    }
    return -EINVAL;
}

static int refuse_again(const char *key, const char *value, const char *section, char *why,
                        size_t size)
{
    char shown[64];

    text_sanitize(shown, sizeof shown, value, strlen(value));
    text_append(why, size, _("%s = %s: [%s] has its %s already"), key, shown, section, key);
    return -EINVAL;
}

static int refuse_section(const char *section, char *why, size_t size)
{
    char shown[64];

    text_sanitize(shown, sizeof shown, section, strlen(section));
    text_append(why, size, _("[%s]: allowed are sections [step NAME], the name of 1 to %d bytes"),
                shown, PROCEDURE_NAME_SIZE - 1);
    return -EINVAL;
}

/* --- setting a key -------------------------------------------------------------------------- */

/* The step of a name, appended when it is new; NULL = no room. */
static struct procedure_step *find_step(struct procedure *procedure, const char *name)
{
    struct procedure_step *step = procedure->steps;

    for (size_t i = 0; i < procedure->step_count; i++, step++) {
        if (strcmp(step->name, name) == 0) {
            return step;
        }
    }
    if (procedure->step_count == PROCEDURE_STEPS) {
        return NULL;
    }
    procedure->step_count++;
    *step = (struct procedure_step){.act = DO_COUNT,
                                    .axis = AXIS_NONE,
                                    .tolerance_deg = NAN,
                                    .span_deg = NAN,
                                    .rate_deg_s = NAN,
                                    .limit_db = NAN,
                                    .dwell_s = NAN};
    text_copy(step->name, sizeof step->name, name);
    return step;
}

static int set_act(struct procedure_step *step, const char *value)
{
    for (int i = 0; i < DO_COUNT; i++) {
        if (strcmp(value, act_names[i]) == 0) {
            step->act = (enum procedure_do)i;
            return 0;
        }
    }
    return -EINVAL;
}

static int set_axis(struct procedure_step *step, const char *value)
{
    enum axis axis = axis_parse(value);

    if (axis == AXIS_NONE) {
        return -EINVAL;
    }
    step->axis = axis;
    return 0;
}

/* A second text goes on with the first: a line of a file is shorter than a text may be. */
static int add_text(struct procedure_step *step, const char *value)
{
    size_t gap = step->text[0] ? 1 : 0;

    if (value[0] == '\0' || !text_is_clean(value) ||
        strlen(step->text) + gap + strlen(value) >= sizeof step->text) {
        return -EINVAL;
    }
    text_append(step->text, sizeof step->text, "%s%s", gap ? " " : "", value);
    return 0;
}

static int set_number(struct procedure_step *step, const struct procedure_key *row,
                      const char *value)
{
    double number;

    if (text_parse_double(value, &number) < 0 || number < row->least || number > row->most) {
        return -EINVAL;
    }
    *(double *)(void *)((char *)step + row->offset) = number;
    return 0;
}

static int set_key(struct procedure_step *step, const struct procedure_key *row, const char *value)
{
    if (row->offset > 0) {
        return set_number(step, row, value);
    }
    return row->key[0] == 'd'   ? set_act(step, value)
           : row->key[0] == 'a' ? set_axis(step, value)
                                : add_text(step, value);
}

static const struct procedure_key *find_key(const char *key)
{
    for (const struct procedure_key *row = procedure_keys; row->key; row++) {
        if (strcmp(row->key, key) == 0) {
            return row;
        }
    }
    return NULL;
}

static bool is_given(const struct procedure_step *step, const struct procedure_key *row)
{
    if (row->offset > 0) {
        return isfinite(*(const double *)(const void *)((const char *)step + row->offset));
    }
    return row->key[0] == 'd'   ? step->act != DO_COUNT
           : row->key[0] == 'a' ? step->axis != AXIS_NONE
                                : step->text[0] != '\0';
}

int procedure_set(struct procedure *procedure, const char *section, const char *key,
                  const char *value, char *why, size_t why_size)
{
    const struct procedure_key *row = find_key(key);
    const char *name = strncmp(section, "step ", 5) == 0 ? section + 5 : "";
    size_t i = procedure->setting_count, steps = procedure->step_count, length = strlen(name);
    struct procedure_step *step;

    why[0] = '\0';
    if (length == 0 || length >= PROCEDURE_NAME_SIZE || !text_is_clean(name)) {
        return refuse_section(section, why, why_size);
    }
    if (!row) {
        return refuse_key(key, value, why, why_size);
    }
    if (i == PROCEDURE_SETTINGS) {
        text_append(why, why_size, _("one setting too many: allowed are at most %d"),
                    PROCEDURE_SETTINGS);
        return -ENOSPC;
    }
    step = find_step(procedure, name);
    if (!step) {
        text_append(why, why_size, _("one step too many: allowed are at most %d"), PROCEDURE_STEPS);
        return -ENOSPC;
    }
    if (is_given(step, row) && strcmp(key, "text") != 0) {
        return refuse_again(key, value, section, why, why_size);
    }
    if (set_key(step, row, value) < 0) {
        procedure->step_count = steps; /* a step that was begun by this key is gone again */
        return refuse_value(row, value, why, why_size);
    }
    text_copy(procedure->settings[i].section, sizeof procedure->settings[i].section, section);
    text_copy(procedure->settings[i].key, sizeof procedure->settings[i].key, key);
    text_copy(procedure->settings[i].value, sizeof procedure->settings[i].value, value);
    procedure->setting_count++;
    return 0;
}

/* --- the whole ------------------------------------------------------------------------------ */

/* Whether a step's keys go with what it does. */
static int check_keys(const struct procedure_step *step, char *why, size_t size)
{
    bool needs_axis = step->act != DO_COUNT && (find_key("axis")->acts & ACT(step->act));

    if (step->act == DO_COUNT) {
        text_append(why, size, _("[step %s]: do is missing"), step->name);
        return -EINVAL;
    }
    for (const struct procedure_key *row = procedure_keys; row->key; row++) {
        if (is_given(step, row) && !(row->acts & ACT(step->act))) {
            text_append(why, size, _("[step %s]: %s means nothing to do = %s"), step->name,
                        row->key, act_names[step->act]);
            return -EINVAL;
        }
    }
    if (needs_axis && step->axis == AXIS_NONE) {
        text_append(why, size, _("[step %s]: do = %s needs an axis"), step->name,
                    act_names[step->act]);
    } else if (step->act == DO_CONFIRM && step->text[0] == '\0') {
        text_append(why, size, _("[step %s]: do = confirm needs a text"), step->name);
    } else if (step->act == DO_SWEEP && step->axis != AXIS_AZIMUTH) {
        text_append(why, size, _("[step %s]: axis: do = sweep turns azimuth only"), step->name);
    } else if (step->act == DO_NULL && step->axis != AXIS_SKEW) {
        text_append(why, size, _("[step %s]: axis: do = null turns skew only"), step->name);
    }
    return why[0] ? -EINVAL : 0;
}

int procedure_check(const struct procedure *procedure, size_t *ret_step, char *why, size_t why_size)
{
    bool placed = false;

    why[0] = '\0';
    if (ret_step) {
        *ret_step = procedure->step_count;
    }
    if (procedure->step_count == 0) {
        text_copy(why, why_size, _("there is no [step NAME] in it"));
        return -EINVAL;
    }
    for (size_t i = 0; i < procedure->step_count; i++) {
        const struct procedure_step *step = &procedure->steps[i];
        bool last = i + 1 == procedure->step_count;

        if (ret_step) {
            *ret_step = i;
        }
        if (check_keys(step, why, why_size) < 0) {
            return -EINVAL;
        }
        placed = placed || step->act == DO_FIX;
        if (!placed && (step->act == DO_SET || step->act == DO_SWEEP || step->act == DO_IDENTIFY)) {
            text_append(why, why_size, _("[step %s]: do = %s needs a step with do = fix before it"),
                        step->name, act_names[step->act]);
            return -EINVAL;
        }
        if (last != (step->act == DO_RECORD)) {
            text_append(why, why_size,
                        _("[step %s]: do = record must be the last step, and only it"), step->name);
            return -EINVAL;
        }
    }
    return 0;
}
