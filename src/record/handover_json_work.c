/* The object's keys about the work: steps, bolts, the trend, notes, faults. */
#include "record/handover_json.h"

#include <math.h>

#include "session/json_line.h"

static json_t *steps_of(const struct handover *h)
{
    json_t *list = json_array();

    for (size_t i = 0; i < h->procedure->step_count; i++) {
        const struct procedure_step *step = &h->procedure->steps[i];
        json_t *one = json_object();
        handover_json_text(one, "name", step->name);
        handover_json_text(one, "does", procedure_do_name(step->act));
        handover_json_text(one, "axis", axis_name(step->axis));
        handover_json_text(one, "ending", handover_ending_name(h->steps[i].ending));
        handover_json_count(one, "visits", (unsigned long)h->steps[i].visits);
        handover_json_number(one, "began_t", h->steps[i].began_t, 3);
        handover_json_number(one, "ended_t", h->steps[i].ended_t, 3);
        handover_json_time(one, "ended_utc", h->steps[i].ended_utc_s);
        handover_json_text(one, "result", h->steps[i].result);
        handover_json_text(one, "caution", step->act == DO_CONFIRM ? step->text : "");
        json_array_append_new(list, one);
    }
    return list;
}

static json_t *fastenings_of(const struct handover *h)
{
    json_t *list = json_array();

    for (int i = 0; i < h->fastening_count; i++) {
        const struct handover_fastening *f = &h->fastenings[i];
        json_t *one = json_object();
        handover_json_number(one, "t", f->t, 3);
        handover_json_count(one, "round", (unsigned long)f->round);
        handover_json_flag(one, "alarm", f->alarm);
        handover_json_number(one, "before", f->before, 4);
        handover_json_number(one, "after", f->after, 4);
        handover_json_number(one, "loss_db", f->loss_db, 4);
        handover_json_number(one, "loss_error_db", f->loss_error_db, 4);
        handover_json_number(one, "azimuth_moved_deg", f->drift_deg[AXIS_AZIMUTH], 4);
        handover_json_number(one, "elevation_moved_deg", f->drift_deg[AXIS_ELEVATION], 4);
        handover_json_number(one, "azimuth_off_deg", f->off_deg[AXIS_AZIMUTH], 4);
        handover_json_number(one, "azimuth_off_error_deg", f->off_error_deg[AXIS_AZIMUTH], 4);
        handover_json_number(one, "elevation_off_deg", f->off_deg[AXIS_ELEVATION], 4);
        handover_json_number(one, "elevation_off_error_deg", f->off_error_deg[AXIS_ELEVATION], 4);
        json_array_append_new(list, one);
    }
    return list;
}

static void append_level(json_t *list, float level)
{
    json_array_append_new(list, json_line_number((double)level));
}

static json_t *trend_of(const struct handover_trend *trend)
{
    json_t *object = json_object(), *low = json_array(), *high = json_array();
    json_t *filtered = json_array(), *marks = json_array();

    for (int i = 0; i < trend->count; i++) {
        append_level(low, trend->pieces[i].low);
        append_level(high, trend->pieces[i].high);
        append_level(filtered, trend->pieces[i].filtered);
    }
    for (int i = 0; i < trend->mark_count; i++) {
        json_t *mark = json_object();
        handover_json_number(mark, "t", trend->marks[i].t, 3);
        handover_json_count(mark, "step", (unsigned long)(trend->marks[i].step + 1));
        json_array_append_new(marks, mark);
    }
    handover_json_number(object, "piece_s", trend->piece_s, 3);
    json_object_set_new(object, "low", low);
    json_object_set_new(object, "high", high);
    json_object_set_new(object, "filtered", filtered);
    json_object_set_new(object, "marks", marks);
    handover_json_count(object, "marks_lost", (unsigned long)trend->marks_lost);
    return object;
}

static json_t *notes_of(const struct handover *h)
{
    json_t *list = json_array();

    for (int i = 0; i < h->note_count; i++) {
        json_t *one = json_object();
        handover_json_number(one, "t", h->notes[i].t, 3);
        handover_json_time(one, "utc", h->notes[i].utc_s);
        handover_json_flag(one, "mark", h->notes[i].mark);
        json_object_set_new(one, "text", json_string(h->notes[i].text));
        json_array_append_new(list, one);
    }
    return list;
}

static json_t *faults_of(const struct handover *h)
{
    static const char *const words[] = {[SOURCE_UP] = "up",
                                        [SOURCE_DOWN] = "down",
                                        [SOURCE_SILENT] = "silent",
                                        [SOURCE_BAD] = "bad"};
    json_t *list = json_array();

    for (int i = 0; i < h->fault_count; i++) {
        json_t *one = json_object();
        handover_json_number(one, "t", h->faults[i].t, 3);
        handover_json_text(one, "source", h->faults[i].source.name);
        handover_json_text(one, "status", words[h->faults[i].source.status]);
        handover_json_text(one, "why", h->faults[i].source.why);
        json_array_append_new(list, one);
    }
    return list;
}

void handover_json_work(const struct handover *handover, json_t *object)
{
    handover_json_text(object, "procedure", handover->procedure->name);
    json_object_set_new(object, "steps", steps_of(handover));
    json_object_set_new(object, "fastenings", fastenings_of(handover));
    handover_json_count(object, "fastenings_lost", (unsigned long)handover->fastenings_lost);
    json_object_set_new(object, "trend", trend_of(&handover->trend));
    json_object_set_new(object, "notes", notes_of(handover));
    handover_json_count(object, "notes_lost", (unsigned long)handover->notes_lost);
    json_object_set_new(object, "faults", faults_of(handover));
    handover_json_count(object, "faults_lost", (unsigned long)handover->faults_lost);
    handover_json_count(object, "refused", handover->refused);
}
