#include "coach/procedure.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#include "base/text.h"

static const char *const act_names[DO_COUNT] = {
    [DO_CONFIRM] = "confirm", [DO_FIX] = "fix",           [DO_SET] = "set",
    [DO_SWEEP] = "sweep",     [DO_IDENTIFY] = "identify", [DO_PEAK] = "peak",
    [DO_NULL] = "null",       [DO_TIGHTEN] = "tighten",   [DO_MEASURE] = "measure",
    [DO_RECORD] = "record",
};

static const struct {
    const char *key;
    size_t offset;
    double least, most;
} numbers[] = {
    {"tolerance", offsetof(struct procedure_step, tolerance_deg), 0.01, 10.0},
    {"span", offsetof(struct procedure_step, span_deg), 0.5, 180.0},
    {"rate", offsetof(struct procedure_step, rate_deg_s), 0.01, 20.0},
    {"limit", offsetof(struct procedure_step, limit_db), 0.01, 6.0},
    {"dwell", offsetof(struct procedure_step, dwell_s), 0.1, 600.0},
};

void procedure_init(struct procedure *procedure, const char *name)
{
    *procedure = (struct procedure){.step_count = 0};
    text_copy(procedure->name, sizeof procedure->name, name);
}

/* The step of a name, appended when it is new; NULL = no room. */
static struct procedure_step *find_step(struct procedure *procedure, const char *name)
{
    struct procedure_step *step;

    for (size_t i = 0; i < procedure->step_count; i++) {
        if (strcmp(procedure->steps[i].name, name) == 0) {
            return &procedure->steps[i];
        }
    }
    if (procedure->step_count == PROCEDURE_STEPS) {
        return NULL;
    }
    step = &procedure->steps[procedure->step_count++];
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

static int refuse(char *why, size_t size, const char *key, const char *value, const char *allowed)
{
    why[0] = '\0';
    text_append(why, size, "%s = %s: allowed is %s", key, value[0] ? value : "(nothing)", allowed);
    return -EINVAL;
}

static int set_act(struct procedure_step *step, const char *value, char *why, size_t size)
{
    for (int i = 0; i < DO_COUNT; i++) {
        if (strcmp(value, act_names[i]) == 0) {
            step->act = (enum procedure_do)i;
            return 0;
        }
    }
    return refuse(why, size, "do", value,
                  "one of confirm fix set sweep identify peak null tighten measure record");
}

static int set_number(struct procedure_step *step, size_t row, const char *value, char *why,
                      size_t size)
{
    double number;

    if (text_parse_double(value, &number) < 0 || number < numbers[row].least ||
        number > numbers[row].most) {
        char allowed[64] = "";
        text_append(allowed, sizeof allowed, "a number from %g to %g", numbers[row].least,
                    numbers[row].most);
        return refuse(why, size, numbers[row].key, value, allowed);
    }
    *(double *)(void *)((char *)step + numbers[row].offset) = number;
    return 0;
}

static int set_key(struct procedure_step *step, const char *key, const char *value, char *why,
                   size_t size)
{
    if (strcmp(key, "do") == 0) {
        return set_act(step, value, why, size);
    }
    if (strcmp(key, "axis") == 0) {
        step->axis = axis_parse(value);
        return step->axis != AXIS_NONE
                   ? 0
                   : refuse(why, size, key, value, "azimuth, elevation or skew");
    }
    if (strcmp(key, "text") == 0) {
        text_copy(step->text, sizeof step->text, value);
        return strlen(value) < sizeof step->text
                   ? 0
                   : refuse(why, size, key, value, "a text of at most 239 bytes");
    }
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        if (strcmp(key, numbers[i].key) == 0) {
            return set_number(step, i, value, why, size);
        }
    }
    why[0] = '\0';
    text_append(why, size,
                "no key %s in a step; allowed are do axis tolerance span rate limit "
                "dwell text",
                key);
    return -EINVAL;
}

int procedure_set(struct procedure *procedure, const char *section, const char *key,
                  const char *value, char *why, size_t why_size)
{
    size_t i = procedure->setting_count;
    struct procedure_step *step;
    int r;

    if (strncmp(section, "step ", 5) != 0 || section[5] == '\0' ||
        strlen(section + 5) >= PROCEDURE_NAME_SIZE) {
        why[0] = '\0';
        text_append(why, why_size,
                    "[%.80s]: a procedure holds only sections [step NAME], the name "
                    "shorter than 48 bytes",
                    section);
        return -EINVAL;
    }
    step = find_step(procedure, section + 5);
    if (!step || i == PROCEDURE_SETTINGS) {
        text_copy(why, why_size, step ? "too many settings" : "too many steps: 32 are allowed");
        return -ENOSPC;
    }
    r = set_key(step, key, value, why, why_size);
    if (r == 0) {
        text_copy(procedure->settings[i].section, sizeof procedure->settings[i].section, section);
        text_copy(procedure->settings[i].key, sizeof procedure->settings[i].key, key);
        text_copy(procedure->settings[i].value, sizeof procedure->settings[i].value, value);
        procedure->setting_count++;
    }
    return r;
}

int procedure_check(const struct procedure *procedure, char *why, size_t why_size)
{
    why[0] = '\0';
    if (procedure->step_count == 0) {
        text_copy(why, why_size, "there is no [step NAME] in it");
        return -EINVAL;
    }
    for (size_t i = 0; i < procedure->step_count; i++) {
        const struct procedure_step *step = &procedure->steps[i];
        bool turns = step->act == DO_SET || step->act == DO_SWEEP || step->act == DO_PEAK;

        if (step->act == DO_COUNT) {
            text_append(why, why_size, "[step %s]: do is missing", step->name);
        } else if (turns && step->axis == AXIS_NONE) {
            text_append(why, why_size, "[step %s]: do = %s needs an axis", step->name,
                        act_names[step->act]);
        } else if (step->act == DO_CONFIRM && step->text[0] == '\0') {
            text_append(why, why_size, "[step %s]: do = confirm needs a text", step->name);
        } else if (step->act == DO_SWEEP && step->axis != AXIS_AZIMUTH) {
            text_append(why, why_size, "[step %s]: only azimuth can be swept", step->name);
        } else {
            continue;
        }
        return -EINVAL;
    }
    return 0;
}
