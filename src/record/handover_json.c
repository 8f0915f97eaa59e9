#include "record/handover_json.h"

#include <errno.h>
#include <math.h>

#include "record/handover_judge.h"
#include "record/handover_page.h"
#include "sky/utc.h"

void handover_json_number(json_t *object, const char *key, double value, int decimals)
{
    json_object_set_new(object, key,
                        isfinite(value) ? json_real(handover_page_round(value, decimals))
                                        : json_null());
}

void handover_json_text(json_t *object, const char *key, const char *value)
{
    json_object_set_new(object, key, value[0] ? json_string(value) : json_null());
}

void handover_json_time(json_t *object, const char *key, double unix_s)
{
    char text[UTC_TEXT_SIZE];

    handover_json_text(object, key, utc_format(unix_s, 0, text));
}

void handover_json_flag(json_t *object, const char *key, bool value)
{
    json_object_set_new(object, key, json_boolean(value));
}

void handover_json_count(json_t *object, const char *key, unsigned long count)
{
    json_object_set_new(object, key, json_integer((json_int_t)count));
}

/* --- head and foot --------------------------------------------------------------------------- */

static json_t *log_of(const struct handover *h)
{
    json_t *object = json_object();

    handover_json_text(object, "path", h->log.path);
    handover_json_count(object, "bytes", (unsigned long)h->log.bytes);
    handover_json_text(object, "sha256", h->log.sha256);
    handover_json_count(object, "records", h->log.records);
    handover_json_text(object, "software", h->log.software);
    handover_json_count(object, "differs", h->log.differs);
    return object;
}

static json_t *score_of(const struct handover *h)
{
    json_t *object, *sentences;

    if (h->score.count == 0) {
        return json_null();
    }
    object = json_object();
    sentences = json_array();
    for (int i = 0; i < h->score.count; i++) {
        json_array_append_new(sentences, json_string(h->score.sentences[i]));
    }
    handover_json_number(object, "points", h->score.known ? h->score.points : NAN, 0);
    json_object_set_new(object, "sentences", sentences);
    handover_json_count(object, "sentences_lost", (unsigned long)h->score.lost);
    return object;
}

static json_t *check_of(const struct handover_check *check)
{
    json_t *object = json_object();

    handover_json_text(object, "what", check->what);
    json_object_set_new(object, "step",
                        check->step < 0 ? json_null() : json_integer(check->step + 1));
    handover_json_text(object, "asked", check->limit);
    handover_json_number(object, "asked_value", check->limit_value, 4);
    handover_json_text(object, "found", check->found);
    handover_json_number(object, "found_value", check->found_value, 4);
    handover_json_text(object, "unit", check->unit);
    handover_json_text(object, "verdict", handover_verdict_name(check->verdict));
    return object;
}

static json_t *judgement_of(const struct handover *h)
{
    json_t *object = json_object(), *lines = json_array();

    handover_json_count(object, "met", (unsigned long)handover_judge_count(h, HANDOVER_MET));
    handover_json_count(object, "not_met",
                        (unsigned long)handover_judge_count(h, HANDOVER_NOT_MET));
    handover_json_count(object, "not_measured",
                        (unsigned long)handover_judge_count(h, HANDOVER_NOT_MEASURED));
    for (int i = 0; i < h->check_count; i++) {
        json_array_append_new(lines, check_of(&h->checks[i]));
    }
    json_object_set_new(object, "lines", lines);
    return object;
}

/* Room for those who sign; a printed page has lines there. */
static json_t *signatures(void)
{
    static const char *const roles[] = {"technician", "taken over"};
    json_t *list = json_array();

    for (int i = 0; i < 2; i++) {
        json_t *object = json_object();
        handover_json_text(object, "role", roles[i]);
        json_object_set_new(object, "name", json_null());
        json_object_set_new(object, "date", json_null());
        json_array_append_new(list, object);
    }
    return list;
}

/* NULL when there is no memory. */
static json_t *object_of(const struct handover *handover)
{
    json_t *object = json_object();

    handover_json_count(object, "peakward_record", HANDOVER_JSON_VERSION);
    handover_json_text(object, "kind", handover_kind_name(handover->kind));
    handover_json_text(object, "software", handover->software);
    json_object_set_new(object, "log", log_of(handover));
    handover_json_flag(object, "finished", handover->finished);
    handover_json_time(object, "begun_utc", handover->begun_utc_s);
    handover_json_number(object, "duration_s", handover->duration_s, 3);
    handover_json_antenna(handover, object);
    handover_json_work(handover, object);
    json_object_set_new(object, "score", score_of(handover));
    json_object_set_new(object, "judgement", judgement_of(handover));
    json_object_set_new(object, "signatures", signatures());
    return object;
}

int handover_json(const struct handover *handover, FILE *file)
{
    json_t *object = object_of(handover);
    int r = object ? 0 : -ENOMEM;

    /* 15 digits: a double nearest to a short decimal is written as that decimal */
    if (object && json_dumpf(object, file, JSON_COMPACT | JSON_REAL_PRECISION(15)) < 0) {
        r = -EIO;
    }
    json_decref(object);
    if (r == 0 && (putc('\n', file) == EOF || ferror(file))) {
        r = -EIO;
    }
    return r;
}
