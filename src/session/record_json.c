/* record_json.c - a record as a line of the log, and back. */
#include "session/record.h"

#include <errno.h>
#include <jansson.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "session/json_line.h"

static const char *const status_names[] = {
    [SOURCE_UP] = "up",
    [SOURCE_DOWN] = "down",
    [SOURCE_SILENT] = "silent",
    [SOURCE_BAD] = "bad",
};

static const char *const event_names[] = {
    [STEP_DONE] = "done",     [STEP_SKIP] = "skip",   [STEP_BACK] = "back",
    [STEP_REPEAT] = "repeat", [STEP_ENTER] = "enter", [STEP_LEAVE] = "leave",
};

static const char *const until_names[UNTIL_COUNT] = {
    [UNTIL_NONE] = "",           [UNTIL_ARRIVED] = "arrived", [UNTIL_DWELL] = "dwell",
    [UNTIL_CARRIER] = "carrier", [UNTIL_ANSWER] = "answer",   [UNTIL_SOURCE] = "source",
};

#define COUNT_OF(array) (sizeof(array) / sizeof *(array))

/* Index of a name in a table, or -1. */
static int find_name(const char *const *names, size_t count, const char *name)
{
    for (size_t i = 0; name && i < count; i++) {
        if (strcmp(names[i], name) == 0) {
            return (int)i;
        }
    }
    return -1;
}

/* --- writing ------------------------------------------------------------------------------- */

static void put_number(json_t *object, const char *key, double value)
{
    if (isfinite(value)) {
        json_object_set_new(object, key, json_real(value));
    }
}

static void put_text(json_t *object, const char *key, const char *text)
{
    if (text[0] != '\0') {
        json_object_set_new(object, key, json_string(text));
    }
}

static json_t *fix_body(const struct record_fix *fix)
{
    json_t *body = json_object();

    put_number(body, "lat", fix->lat_deg);
    put_number(body, "lon", fix->lon_deg);
    put_number(body, "height_m", fix->height_m);
    put_number(body, "error_m", fix->error_m);
    json_object_set_new(body, "mode", json_integer(fix->mode));
    if (fix->satellites >= 0) {
        json_object_set_new(body, "satellites", json_integer(fix->satellites));
    }
    return body;
}

static json_t *angles_body(const struct record_angles *angles)
{
    json_t *body = json_object();

    put_text(body, "from", angles->from);
    for (int i = 0; i < AXIS_COUNT; i++) {
        put_number(body, axis_name((enum axis)i), angles->deg[i]);
    }
    if (angles->magnetic) {
        json_object_set_new(body, "magnetic", json_true());
    }
    if (angles->scale) {
        json_object_set_new(body, "scale", json_true());
    }
    return body;
}

static json_t *source_body(const struct record_source *source)
{
    json_t *body = json_object();

    put_text(body, "name", source->name);
    put_text(body, "status", status_names[source->status]);
    json_object_set_new(body, "bad", json_integer(source->bad));
    put_text(body, "why", source->why);
    return body;
}

static json_t *step_body(const struct record_step *step)
{
    json_t *body = json_object();

    put_text(body, "event", event_names[step->event]);
    put_text(body, "name", step->name);
    if (step->number > 0) {
        json_object_set_new(body, "number", json_integer(step->number));
        json_object_set_new(body, "count", json_integer(step->count));
    }
    put_text(body, "result", step->result);
    return body;
}

static json_t *advice_body(const struct advice *advice)
{
    json_t *body = json_object();

    put_text(body, "step", advice->step);
    put_text(body, "axis", axis_name(advice->axis));
    put_text(body, "move", advice_move_name(advice->move));
    put_number(body, "deg", advice->deg);
    put_number(body, "turns", advice->turns);
    put_number(body, "rate", advice->rate);
    put_text(body, "until", until_names[advice->until]);
    put_text(body, "say", advice->say);
    put_text(body, "why", advice->why);
    return body;
}

static json_t *small_body(const struct record *record)
{
    json_t *body = json_object();

    switch (record->kind) {
    case RECORD_UTC:
        put_number(body, "unix_s", record->utc.unix_s);
        break;
    case RECORD_LEVEL:
        put_number(body, "value", record->level.value);
        put_text(body, "unit", level_unit_name(record->level.unit));
        put_text(body, "meter", record->level.meter);
        break;
    case RECORD_LOCK:
        json_object_set_new(body, "locked", json_boolean(record->lock.locked));
        put_text(body, "id", record->lock.id);
        break;
    case RECORD_AUX:
        put_text(body, "name", record->aux.name);
        put_number(body, "value", record->aux.value);
        put_text(body, "unit", record->aux.unit);
        break;
    case RECORD_MOVE:
        put_text(body, "axis", axis_name(record->move.axis));
        put_number(body, "deg", record->move.deg);
        put_number(body, "turns", record->move.turns);
        break;
    default:
        put_text(body, "text", record->note.text);
        break;
    }
    return body;
}

static json_t *record_body(const struct record *record)
{
    switch (record->kind) {
    case RECORD_FIX:
        return fix_body(&record->fix);
    case RECORD_ANGLES:
        return angles_body(&record->angles);
    case RECORD_SOURCE:
        return source_body(&record->source);
    case RECORD_STEP:
        return step_body(&record->step);
    case RECORD_ADVICE:
        return advice_body(&record->advice);
    default:
        return small_body(record);
    }
}

int record_format(const struct record *record, char *line, size_t size)
{
    json_t *root;

    if (!isfinite(record->t) || record->kind >= RECORD_KIND_COUNT) {
        return -EINVAL;
    }
    root = json_object();
    json_object_set_new(root, "t", json_real(record->t));
    json_object_set_new(root, record_kind_name(record->kind), record_body(record));
    return json_line(root, line, size);
}

/* --- reading ------------------------------------------------------------------------------- */

static double get_number(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);

    return json_is_number(value) ? json_number_value(value) : NAN;
}

static int get_integer(const json_t *object, const char *key, int otherwise)
{
    const json_t *value = json_object_get(object, key);
    json_int_t number = json_is_integer(value) ? json_integer_value(value) : otherwise;

    return number >= INT32_MIN && number <= INT32_MAX ? (int)number : otherwise;
}

static void get_text(const json_t *object, const char *key, char *text, size_t size)
{
    const json_t *value = json_object_get(object, key);

    /* a log may come from anywhere: its texts end on a terminal */
    text_sanitize(text, size, json_is_string(value) ? json_string_value(value) : "",
                  json_is_string(value) ? json_string_length(value) : 0);
}

/* The index of a text in a table; `otherwise` when the key is missing; -1 when it is wrong. */
static int get_name(const json_t *object, const char *key, const char *const *names, size_t count,
                    int otherwise)
{
    const json_t *value = json_object_get(object, key);

    return value ? find_name(names, count, json_string_value(value)) : otherwise;
}

static const char *parse_fix(const json_t *body, struct record_fix *fix)
{
    fix->lat_deg = get_number(body, "lat");
    fix->lon_deg = get_number(body, "lon");
    fix->height_m = get_number(body, "height_m");
    fix->error_m = get_number(body, "error_m");
    fix->mode = get_integer(body, "mode", 0);
    fix->satellites = get_integer(body, "satellites", -1);
    if (fix->mode >= 2 && !(fabs(fix->lat_deg) <= 90.0 && fabs(fix->lon_deg) <= 360.0)) {
        return "a fix needs lat within 90 and lon within 360 degrees";
    }
    return NULL;
}

static const char *parse_angles(const json_t *body, struct record_angles *angles)
{
    get_text(body, "from", angles->from, sizeof angles->from);
    for (int i = 0; i < AXIS_COUNT; i++) {
        angles->deg[i] = get_number(body, axis_name((enum axis)i));
        if (fabs(angles->deg[i]) > 720.0) {
            return "an angle is beyond 720 degrees";
        }
    }
    angles->magnetic = json_is_true(json_object_get(body, "magnetic"));
    angles->scale = json_is_true(json_object_get(body, "scale"));
    return NULL;
}

static const char *parse_level(const json_t *body, struct record_level *level)
{
    char unit[16];

    level->value = get_number(body, "value");
    get_text(body, "unit", unit, sizeof unit);
    get_text(body, "meter", level->meter, sizeof level->meter);
    if (!isfinite(level->value)) {
        return "a level needs a value";
    }
    return level_unit_parse(unit, &level->unit) ? NULL
                                                : "unit is none of dB dBm dBuV percent V raw";
}

static const char *parse_move(const json_t *body, struct record_move *move)
{
    char name[16];

    get_text(body, "axis", name, sizeof name);
    move->axis = axis_parse(name);
    move->deg = get_number(body, "deg");
    move->turns = get_number(body, "turns");
    if (move->axis == AXIS_NONE) {
        return "axis is none of azimuth elevation skew";
    }
    return isfinite(move->deg) || isfinite(move->turns) ? NULL : "a move needs deg or turns";
}

static const char *parse_source(const json_t *body, struct record_source *source)
{
    int status = get_name(body, "status", status_names, COUNT_OF(status_names), -1);

    if (status < 0) {
        return "status is none of up down silent bad";
    }
    source->status = (enum record_source_status)status;
    source->bad = (unsigned)get_integer(body, "bad", 0);
    get_text(body, "name", source->name, sizeof source->name);
    get_text(body, "why", source->why, sizeof source->why);
    return NULL;
}

static const char *parse_step(const json_t *body, struct record_step *step)
{
    int event = get_name(body, "event", event_names, COUNT_OF(event_names), -1);

    if (event < 0) {
        return "event is none of done skip back repeat enter leave";
    }
    step->event = (enum record_step_event)event;
    step->number = get_integer(body, "number", 0);
    step->count = get_integer(body, "count", 0);
    get_text(body, "name", step->name, sizeof step->name);
    get_text(body, "result", step->result, sizeof step->result);
    return NULL;
}

static const char *parse_advice(const json_t *body, struct advice *advice)
{
    int until = get_name(body, "until", until_names, COUNT_OF(until_names), UNTIL_NONE);
    char axis[16], move[16];

    get_text(body, "move", move, sizeof move);
    if (!advice_parse_move(move, &advice->move) || until < 0) {
        return "the advice's move or until is not known";
    }
    get_text(body, "axis", axis, sizeof axis);
    advice->axis = axis_parse(axis);
    advice->until = (enum advice_until)until;
    advice->deg = get_number(body, "deg");
    advice->turns = get_number(body, "turns");
    advice->rate = get_number(body, "rate");
    get_text(body, "step", advice->step, sizeof advice->step);
    get_text(body, "say", advice->say, sizeof advice->say);
    get_text(body, "why", advice->why, sizeof advice->why);
    return NULL;
}

static const char *parse_small(const json_t *body, struct record *record)
{
    switch (record->kind) {
    case RECORD_UTC:
        record->utc.unix_s = get_number(body, "unix_s");
        return isfinite(record->utc.unix_s) ? NULL : "utc needs unix_s";
    case RECORD_LOCK:
        if (!json_is_boolean(json_object_get(body, "locked"))) {
            return "lock needs locked, true or false";
        }
        record->lock.locked = json_is_true(json_object_get(body, "locked"));
        get_text(body, "id", record->lock.id, sizeof record->lock.id);
        return NULL;
    case RECORD_AUX:
        get_text(body, "name", record->aux.name, sizeof record->aux.name);
        get_text(body, "unit", record->aux.unit, sizeof record->aux.unit);
        record->aux.value = get_number(body, "value");
        return isfinite(record->aux.value) ? NULL : "aux needs a value";
    default:
        get_text(body, "text", record->note.text, sizeof record->note.text);
        return NULL;
    }
}

static const char *parse_body(const json_t *body, struct record *record)
{
    switch (record->kind) {
    case RECORD_FIX:
        return parse_fix(body, &record->fix);
    case RECORD_ANGLES:
        return parse_angles(body, &record->angles);
    case RECORD_LEVEL:
        return parse_level(body, &record->level);
    case RECORD_MOVE:
        return parse_move(body, &record->move);
    case RECORD_SOURCE:
        return parse_source(body, &record->source);
    case RECORD_STEP:
        return parse_step(body, &record->step);
    case RECORD_ADVICE:
        return parse_advice(body, &record->advice);
    default:
        return parse_small(body, record);
    }
}

int record_parse(const char *line, struct record *ret_record, char why[RECORD_TEXT_SIZE])
{
    json_error_t error;
    json_t *root = json_loads(line, JSON_REJECT_DUPLICATES, &error);
    struct record record = {.kind = RECORD_KIND_COUNT};
    const char *wrong = NULL;

    if (!root) {
        text_copy(why, RECORD_TEXT_SIZE, "not a JSON object: ");
        text_append(why, RECORD_TEXT_SIZE, "%s", error.text);
        return -EINVAL;
    }
    record.t = get_number(root, "t");
    for (int i = 0; i < RECORD_KIND_COUNT; i++) {
        const json_t *body = json_object_get(root, record_kind_name((enum record_kind)i));
        if (json_is_object(body)) {
            record.kind = (enum record_kind)i;
            wrong = parse_body(body, &record);
            break;
        }
    }
    json_decref(root);
    if (record.kind == RECORD_KIND_COUNT) {
        wrong = "no record of a known kind";
    } else if (!isfinite(record.t) || record.t < 0.0) {
        wrong = "t is missing or negative";
    }
    if (wrong) {
        text_copy(why, RECORD_TEXT_SIZE, wrong);
        return -EINVAL;
    }
    *ret_record = record;
    return 0;
}
