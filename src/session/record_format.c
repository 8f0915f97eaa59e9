/* record_format.c - a record as a line of the log. */
#include "session/record.h"

#include <errno.h>
#include <jansson.h>
#include <math.h>

#include "session/json_line.h"
#include "session/record_names.h"

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
    put_text(body, "status", record_status_names[source->status]);
    json_object_set_new(body, "bad", json_integer(source->bad));
    put_text(body, "why", source->why);
    return body;
}

static json_t *step_body(const struct record_step *step)
{
    json_t *body = json_object();

    put_text(body, "event", record_event_names[step->event]);
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
    put_text(body, "until", record_until_names[advice->until]);
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

    if (record->kind >= RECORD_KIND_COUNT || record_wrong(record)) {
        return -EINVAL;
    }
    root = json_object();
    json_object_set_new(root, "t", json_real(record->t));
    json_object_set_new(root, record_kind_name(record->kind), record_body(record));
    return json_line(root, line, size);
}
