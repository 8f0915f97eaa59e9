/* record_parse.c - a line of the log as a record. */
#include "session/record.h"

#include <errno.h>
#include <jansson.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "base/tongue.h"
#include "job/json_fault.h"
#include "session/record_line.h"
#include "session/record_names.h"

/* --- fields ---------------------------------------------------------------------------------- */

static double get_number(struct record_line *body, const char *key)
{
    const struct record_value *value = record_line_get(body, key);

    return value->kind == VALUE_NUMBER ? value->number : NAN;
}

static int get_integer(struct record_line *body, const char *key, int otherwise)
{
    const struct record_value *value = record_line_get(body, key);
    bool fits = value->kind == VALUE_NUMBER && value->whole && value->number >= INT32_MIN &&
                value->number <= INT32_MAX;

    return fits ? (int)value->number : otherwise;
}

static bool get_flag(struct record_line *body, const char *key)
{
    return record_line_get(body, key)->kind == VALUE_TRUE;
}

static void get_text(struct record_line *body, const char *key, char *text, size_t size)
{
    const struct record_value *value = record_line_get(body, key);

    /* a log may come from anywhere: its texts end on a terminal */
    text_sanitize(text, size, value->kind == VALUE_TEXT ? value->text : "",
                  value->kind == VALUE_TEXT ? value->size : 0);
}

/* The index of a text in a table; `otherwise` when the key is missing; -1 when it is wrong. */
static int get_name(struct record_line *body, const char *key, const char *const *names, int count,
                    int otherwise)
{
    const struct record_value *value = record_line_get(body, key);

    if (value->kind == VALUE_NONE) {
        return otherwise;
    }
    for (int i = 0; value->kind == VALUE_TEXT && i < count; i++) {
        if (record_line_spells(value->text, value->size, names[i])) {
            return i;
        }
    }
    return -1;
}

/* --- one kind each --------------------------------------------------------------------------- */

static void parse_fix(struct record_line *body, struct record_fix *fix)
{
    fix->lat_deg = get_number(body, "lat");
    fix->lon_deg = get_number(body, "lon");
    fix->height_m = get_number(body, "height_m");
    fix->error_m = get_number(body, "error_m");
    fix->mode = get_integer(body, "mode", 0);
    fix->satellites = get_integer(body, "satellites", -1);
}

static void parse_angles(struct record_line *body, struct record_angles *angles)
{
    get_text(body, "from", angles->from, sizeof angles->from);
    for (int i = 0; i < AXIS_COUNT; i++) {
        angles->deg[i] = get_number(body, axis_name((enum axis)i));
    }
    angles->magnetic = get_flag(body, "magnetic");
    angles->scale = get_flag(body, "scale");
}

static const char *parse_level(struct record_line *body, struct record_level *level)
{
    char unit[16];

    level->value = get_number(body, "value");
    get_text(body, "unit", unit, sizeof unit);
    get_text(body, "meter", level->meter, sizeof level->meter);
    return level_unit_parse(unit, &level->unit) ? NULL
                                                : _("unit is none of dB dBm dBuV percent V raw");
}

static void parse_move(struct record_line *body, struct record_move *move)
{
    char name[16];

    get_text(body, "axis", name, sizeof name);
    move->axis = axis_parse(name);
    move->deg = get_number(body, "deg");
    move->turns = get_number(body, "turns");
}

static const char *parse_source(struct record_line *body, struct record_source *source)
{
    int status = get_name(body, "status", record_status_names, RECORD_STATUS_COUNT, -1);
    int bad = get_integer(body, "bad", 0);

    if (status < 0) {
        return _("status is none of up down silent bad");
    }
    source->status = (enum record_source_status)status;
    source->bad = bad > 0 ? (unsigned)bad : 0;
    get_text(body, "name", source->name, sizeof source->name);
    get_text(body, "why", source->why, sizeof source->why);
    return NULL;
}

static const char *parse_step(struct record_line *body, struct record_step *step)
{
    int event = get_name(body, "event", record_event_names, RECORD_EVENT_COUNT, -1);

    if (event < 0) {
        return _("event is none of done skip back repeat enter leave");
    }
    step->event = (enum record_step_event)event;
    step->number = get_integer(body, "number", 0);
    step->count = get_integer(body, "count", 0);
    get_text(body, "name", step->name, sizeof step->name);
    get_text(body, "result", step->result, sizeof step->result);
    return NULL;
}

static const char *parse_advice(struct record_line *body, struct advice *advice)
{
    int until = get_name(body, "until", record_until_names, UNTIL_COUNT, UNTIL_NONE);
    char axis[16], move[16];

    get_text(body, "move", move, sizeof move);
    if (!advice_parse_move(move, &advice->move) || until < 0) {
        return _("the advice's move or until is not known");
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

static const char *parse_small(struct record_line *body, struct record *record)
{
    switch (record->kind) {
    case RECORD_UTC:
        record->utc.unix_s = get_number(body, "unix_s");
        return NULL;
    case RECORD_LOCK:
        switch (record_line_get(body, "locked")->kind) {
        case VALUE_TRUE:
            record->lock.locked = true;
            break;
        case VALUE_FALSE:
            record->lock.locked = false;
            break;
        default:
            return _("lock needs locked, true or false");
        }
        get_text(body, "id", record->lock.id, sizeof record->lock.id);
        return NULL;
    case RECORD_AUX:
        get_text(body, "name", record->aux.name, sizeof record->aux.name);
        get_text(body, "unit", record->aux.unit, sizeof record->aux.unit);
        record->aux.value = get_number(body, "value");
        return NULL;
    default:
        get_text(body, "text", record->note.text, sizeof record->note.text);
        return NULL;
    }
}

static const char *parse_body(struct record_line *body, struct record *record)
{
    switch (record->kind) {
    case RECORD_FIX:
        parse_fix(body, &record->fix);
        return NULL;
    case RECORD_ANGLES:
        parse_angles(body, &record->angles);
        return NULL;
    case RECORD_LEVEL:
        return parse_level(body, &record->level);
    case RECORD_MOVE:
        parse_move(body, &record->move);
        return NULL;
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

/* --- the line -------------------------------------------------------------------------------- */

/* NULL = it is a record; else a phrase. */
static const char *parse_line(struct record_line *line, struct record *record)
{
    const char *wrong = parse_body(line, record);

    record->t = line->t.kind == VALUE_NUMBER ? line->t.number : NAN;
    return wrong ? wrong : record_wrong(record);
}

/* How much of a record its kind needs: the rest of the union is not worth moving about. */
static size_t size_of(enum record_kind kind)
{
    static const size_t sizes[RECORD_KIND_COUNT] = {
        [RECORD_FIX] = sizeof(struct record_fix),
        [RECORD_UTC] = sizeof(double),
        [RECORD_ANGLES] = sizeof(struct record_angles),
        [RECORD_LEVEL] = sizeof(struct record_level),
        [RECORD_LOCK] = sizeof(struct record_lock),
        [RECORD_AUX] = sizeof(struct record_aux),
        [RECORD_MOVE] = sizeof(struct record_move),
        [RECORD_NOTE] = RECORD_TEXT_SIZE,
        [RECORD_SOURCE] = sizeof(struct record_source),
        [RECORD_STEP] = sizeof(struct record_step),
        [RECORD_ADVICE] = sizeof(struct advice),
        [RECORD_MARK] = RECORD_TEXT_SIZE,
    };

    return offsetof(struct record, fix) + sizes[kind];
}

static bool find_kind(const char *name, size_t size, enum record_kind *ret_kind)
{
    for (int i = 0; i < RECORD_KIND_COUNT; i++) {
        if (record_line_spells(name, size, record_kind_name((enum record_kind)i))) {
            *ret_kind = (enum record_kind)i;
            return true;
        }
    }
    return false;
}

/* The first kind, in their order, that the object has. */
static bool find_kind_in_json(const json_t *root, enum record_kind *ret_kind)
{
    for (int i = 0; i < RECORD_KIND_COUNT; i++) {
        if (json_is_object(json_object_get(root, record_kind_name((enum record_kind)i)))) {
            *ret_kind = (enum record_kind)i;
            return true;
        }
    }
    return false;
}

static const char *parse_json(const json_t *root, struct record *record)
{
    struct record_line line;

    if (!json_is_object(root)) {
        return _("not a JSON object");
    }
    if (!find_kind_in_json(root, &record->kind)) {
        return json_object_get(root, "peakward") ? _("a second head: two logs in one file")
                                                 : _("no record of a known kind");
    }
    record_line_from_json(root, record_kind_name(record->kind), &line);
    return parse_line(&line, record);
}

int record_parse_any(const char *text, size_t n, struct record *ret_record,
                     char why[RECORD_TEXT_SIZE])
{
    json_error_t error;
    json_t *root = json_loadb(text, n, JSON_REJECT_DUPLICATES, &error);
    char fault[JSON_FAULT_SIZE];
    const char *wrong;
    struct record record;

    if (!root) {
        why[0] = '\0';
        text_append(why, RECORD_TEXT_SIZE, _("not a JSON object: %s"),
                    json_fault_say(&error, fault));
        return -EINVAL;
    }
    memset(&record, 0, sizeof record);
    wrong = parse_json(root, &record);
    json_decref(root);
    if (wrong) {
        text_copy(why, RECORD_TEXT_SIZE, wrong);
        return -EINVAL;
    }
    memcpy(ret_record, &record, size_of(record.kind));
    return 0;
}

int record_parse_line(const char *text, size_t n, struct record *ret_record,
                      char why[RECORD_TEXT_SIZE])
{
    struct record_line line;
    struct record record;
    enum record_kind kind;

    if (record_line_cut(text, n, &line) && find_kind(line.kind, line.kind_size, &kind)) {
        size_t size = size_of(kind);
        memset(&record, 0, size);
        record.kind = kind;
        if (!parse_line(&line, &record)) {
            memcpy(ret_record, &record, size);
            return 0;
        }
    }
    /* of another shape, or wrong in a way that is worth a sentence */
    return record_parse_any(text, n, ret_record, why);
}

int record_parse(const char *line, struct record *ret_record, char why[RECORD_TEXT_SIZE])
{
    return record_parse_line(line, strlen(line), ret_record, why);
}
