#include "session/state.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "sky/angle.h"
#include "sky/utc.h"

/* A hand lets go so long after it was told to; what a meter says settles in so many lags. */
static const double let_go_s = 1.0, settle_lags = 3.0, usual_lag_s = 0.8;

void state_init(struct state *state, const struct job *job, const struct magnetic_model *magnetic)
{
    *state = (struct state){
        .job = job,
        .magnetic = magnetic,
        .fix_t = NAN,
        .utc_s = NAN,
        .utc_t = NAN,
        .lock_t = NAN,
        .step_t = NAN,
        .advice_t = NAN,
    };
    state->fix.lat_deg = state->fix.lon_deg = NAN;
    state->fix.height_m = state->fix.error_m = NAN;
    state->level.best = state->level.best_t = state->level.value = state->level.t = NAN;
    for (int i = 0; i < AXIS_COUNT; i++) {
        state->target.deg[i] = NAN;
        state->measured.deg[i] = NAN;
        state->measured.t[i] = NAN;
        state->level.best_deg[i] = NAN;
    }
    state->level.free_t = -INFINITY;
    level_filter_init(&state->level.filter, NAN, NAN, NAN);
    if (job->site.given) {
        state->site = job->site.place;
        state->site_from = SITE_JOB;
    }
}

/* --- where the target is -------------------------------------------------------------------- */

static void update_field(struct state *state)
{
    /* without a clock the model's own first year errs by a few tenths of a degree at most */
    double year = isfinite(state->utc_s) ? utc_decimal_year(state->utc_s + state->t - state->utc_t)
                                         : state->magnetic->valid_from;

    state->field = magnetic_at(state->magnetic, state->site.lat_deg, state->site.lon_deg,
                               state->site.height_m, year);
    state->field_known = isfinite(state->field.declination_deg);
}

static void update_target(struct state *state)
{
    struct look *look = &state->target.look;

    if (state->site_from == SITE_NONE || !state->job->target.given) {
        return;
    }
    *look = look_at_geostationary(&look_earth_wgs84, &state->site,
                                  state->job->target.satellite.lon_deg);
    state->target.refraction_deg = look_refraction_deg(look->elevation_deg, state->site.height_m);
    state->target.deg[AXIS_AZIMUTH] = look->azimuth_deg;
    state->target.deg[AXIS_ELEVATION] = look->elevation_deg + state->target.refraction_deg;
    state->target.deg[AXIS_SKEW] = job_skew_deg(state->job, look);
    state->target.known = true;
    update_field(state);
}

static void apply_fix(struct state *state, const struct record_fix *fix)
{
    state->fix = *fix;
    state->fix_t = state->t;
    /* a position in the job was chosen by a person: it stays */
    if (fix->mode < 2 || state->site_from == SITE_JOB) {
        return;
    }
    state->site.lat_deg = fix->lat_deg;
    state->site.lon_deg = fix->lon_deg;
    if (isfinite(fix->height_m)) {
        state->site.height_m = fix->height_m;
    }
    state->site_from = SITE_FIX;
    update_target(state);
}

/* --- where the antenna points --------------------------------------------------------------- */

static double true_angle(const struct state *state, enum axis axis,
                         const struct record_angles *angles)
{
    const struct job_axis *mount = &state->job->mount.axes[axis];
    double deg = angles->deg[axis];

    if (angles->scale) {
        deg = job_true_from_scale(mount, deg);
    } else {
        deg += mount->sensor_zero_deg;
    }
    if (axis == AXIS_AZIMUTH) {
        if (angles->magnetic && state->field_known) {
            deg += state->field.declination_deg;
        }
        return angle_wrap_deg(deg);
    }
    return axis == AXIS_SKEW ? angle_wrap_axial_deg(deg) : deg;
}

/* A reading came from a source, if it names one. */
static void count_reading(struct state *state, const char *name)
{
    for (size_t i = 0; i < state->source_count; i++) {
        if (strcmp(state->sources[i].name, name) == 0) {
            state->sources[i].count++;
            state->sources[i].last_t = state->t;
        }
    }
}

/* What the job's source is called in records: by its name, else by the scheme of its address. */
static void name_source(const struct job_source *source, char ret_name[RECORD_NAME_SIZE])
{
    text_copy(ret_name, RECORD_NAME_SIZE, source->name[0] ? source->name : source->address);
    if (!source->name[0]) {
        ret_name[strcspn(ret_name, ":")] = '\0';
    }
}

/* A level names its meter: it came from the source that reads that one's lines. */
static void count_level(struct state *state, const char *meter)
{
    bool counted = false;

    for (size_t i = 0; i < state->job->source_count; i++) {
        const struct job_source *source = &state->job->sources[i];
        const struct job_meter *read = job_find_meter(state->job, source->meter);
        char name[RECORD_NAME_SIZE];
        if (read && strcmp(read->name, meter) == 0 && strncmp(source->address, "gpsd:", 5) != 0) {
            name_source(source, name);
            count_reading(state, name);
            counted = true;
        }
    }
    if (!counted) {
        count_reading(state, meter);
    }
}

static void apply_angles(struct state *state, const struct record_angles *angles)
{
    count_reading(state, angles->from);
    for (int i = 0; i < AXIS_COUNT; i++) {
        if (isfinite(angles->deg[i])) {
            state->measured.deg[i] = true_angle(state, (enum axis)i, angles);
            state->measured.t[i] = state->t;
            state->measured.nudged_deg[i] = 0.0;
        }
    }
}

double state_move_deg(const struct state *state, const struct record_move *move)
{
    if (isfinite(move->deg)) {
        return move->deg;
    }
    return move->turns * state->job->mount.axes[move->axis].turn_deg;
}

static void apply_move(struct state *state, const struct record_move *move)
{
    double deg = state_move_deg(state, move);

    if (isfinite(deg)) {
        state->measured.nudged_deg[move->axis] += deg;
        state->measured.counted_deg[move->axis] += deg;
    }
}

/* --- the level ------------------------------------------------------------------------------ */

static void push_trend(struct state *state, double level, double filtered)
{
    struct state_trend *point = &state->trend[state->trend_next];

    point->t = state->t;
    point->level = level;
    point->filtered = filtered;
    for (int i = 0; i < AXIS_COUNT; i++) {
        point->deg[i] = (float)state->measured.deg[i];
    }
    state->trend_next = (state->trend_next + 1) % STATE_TREND;
    if (state->trend_count < STATE_TREND) {
        state->trend_count++;
    }
}

/* Where the mount stood at a time. */
static void look_back(const struct state *state, double t, double ret_deg[AXIS_COUNT])
{
    size_t i = state->trend_count - 1;

    while (i > 0 && state_trend_at(state, i)->t > t) {
        i--;
    }
    for (int axis = 0; axis < AXIS_COUNT; axis++) {
        ret_deg[axis] = (double)state_trend_at(state, i)->deg[axis];
    }
}

double state_sure_level(const struct state *state)
{
    const struct level_filter *filter = &state->level.filter;

    return filter->used > 0 && filter->t[filter->used - 1] >= state->level.free_t
               ? level_filter_sure(filter)
               : NAN;
}

static void apply_level(struct state *state, const struct record_level *level)
{
    const struct job_meter *meter = job_find_meter(state->job, level->meter);
    double filtered, sure;

    count_level(state, level->meter);
    if (!state->level.known || state->level.unit != level->unit) {
        /* another unit is another quantity: what was best of it is of no use */
        level_filter_init(&state->level.filter, meter ? meter->noise : NAN,
                          meter ? meter->minimum : NAN, meter ? meter->maximum : NAN);
        state->level.best = NAN;
        state->level.best_t = NAN;
        state->level.known = true;
        state->level.unit = level->unit;
    }
    filtered = level_filter_push(&state->level.filter, state->t, level->value);
    state->level.value = level->value;
    state->level.t = state->t;
    push_trend(state, level->value, filtered);
    /* the best counts what is sure of a level: a lucky reading is no best */
    sure = state_sure_level(state);
    if (isfinite(sure) && !(sure <= state->level.best)) {
        state->level.best = sure;
        state->level.best_t = state->t;
        /* a level that comes late and is a mean was met where the mount stood before */
        look_back(state,
                  level_filter_middle_t(&state->level.filter) -
                      (meter && isfinite(meter->lag_s) ? meter->lag_s : 0.0),
                  state->level.best_deg);
    }
}

/* --- advice ----------------------------------------------------------------------------- */

static void apply_advice(struct state *state, const struct advice *advice)
{
    const struct job_meter *meter = job_find_meter(state->job, "");
    double lag_s = meter && isfinite(meter->lag_s) ? meter->lag_s : usual_lag_s;

    if (advice_bends(advice->move)) {
        state->level.free_t = INFINITY;
    } else if (state->level.free_t == INFINITY) {
        state->level.free_t = state->t + let_go_s + settle_lags * lag_s;
    }
    state->advice = *advice;
    state->advice_t = state->t;
}

/* --- the rest ------------------------------------------------------------------------------- */

static void apply_aux(struct state *state, const struct record_aux *aux)
{
    size_t i = 0;

    while (i < state->aux_count && strcmp(state->aux[i].name, aux->name) != 0) {
        i++;
    }
    if (i < sizeof state->aux / sizeof *state->aux) {
        state->aux[i] = *aux;
        state->aux_count = i < state->aux_count ? state->aux_count : i + 1;
    }
}

static struct state_source *find_source(struct state *state, const char *name)
{
    for (size_t i = 0; i < state->source_count; i++) {
        if (strcmp(state->sources[i].name, name) == 0) {
            return &state->sources[i];
        }
    }
    if (state->source_count == STATE_SOURCES) {
        return NULL;
    }
    struct state_source *source = &state->sources[state->source_count++];
    *source = (struct state_source){.last_t = NAN};
    text_copy(source->name, sizeof source->name, name);
    return source;
}

static void apply_source(struct state *state, const struct record_source *record)
{
    struct state_source *source = find_source(state, record->name);

    if (!source) {
        return;
    }
    source->bad = record->bad;
    source->t = state->t;
    text_copy(source->why, sizeof source->why, record->why);
    if (record->status != SOURCE_BAD) {
        source->status = record->status;
    }
    if (record->status == SOURCE_DOWN && state->trend_count > 0) {
        push_trend(state, NAN, NAN);
    }
}

static void apply_note(struct state *state, const char *text, bool mark)
{
    if (state->note_count == STATE_NOTES) {
        memmove(state->notes, state->notes + 1, sizeof state->notes - sizeof *state->notes);
        state->note_count--;
    }
    state->notes[state->note_count].t = state->t;
    state->notes[state->note_count].mark = mark;
    text_copy(state->notes[state->note_count].text, RECORD_TEXT_SIZE, text);
    state->note_count++;
}

void state_apply(struct state *state, const struct record *record)
{
    state->t = record->t;
    switch (record->kind) {
    case RECORD_FIX:
        apply_fix(state, &record->fix);
        break;
    case RECORD_UTC: {
        bool first = !isfinite(state->utc_s);
        state->utc_s = record->utc.unix_s;
        state->utc_t = record->t;
        if (first && state->site_from != SITE_NONE) {
            update_field(state);
        }
        break;
    }
    case RECORD_ANGLES:
        apply_angles(state, &record->angles);
        break;
    case RECORD_LEVEL:
        apply_level(state, &record->level);
        break;
    case RECORD_LOCK:
        state->lock = record->lock;
        state->lock_t = record->t;
        break;
    case RECORD_AUX:
        apply_aux(state, &record->aux);
        break;
    case RECORD_MOVE:
        apply_move(state, &record->move);
        break;
    case RECORD_NOTE:
        apply_note(state, record->note.text, false);
        break;
    case RECORD_MARK:
        apply_note(state, record->mark.text, true);
        break;
    case RECORD_SOURCE:
        apply_source(state, &record->source);
        break;
    case RECORD_STEP:
        if (record->step.event == STEP_ENTER) {
            state->step = record->step;
            state->step_t = record->t;
        }
        break;
    case RECORD_ADVICE:
        apply_advice(state, &record->advice);
        break;
    case RECORD_KIND_COUNT:
        break;
    }
    if (!state->target.known) {
        update_target(state);
    }
}

const char *state_carrier(const struct state *state)
{
    return isfinite(state->lock_t) && state->lock.locked ? state->lock.id : "";
}

double state_stands_deg(const struct state *state, enum axis axis)
{
    double deg = state->measured.deg[axis] + state->measured.nudged_deg[axis];

    return axis == AXIS_AZIMUTH ? angle_wrap_deg(deg) : deg;
}

double state_to_go_deg(const struct state *state, enum axis axis)
{
    double target = state->target.deg[axis], measured = state->measured.deg[axis];

    switch (axis) {
    case AXIS_AZIMUTH:
        return angle_turn_deg(measured, target);
    case AXIS_SKEW:
        return angle_turn_axial_deg(measured, target);
    default:
        return target - measured;
    }
}

const struct state_trend *state_trend_at(const struct state *state, size_t i)
{
    size_t oldest = state->trend_next + STATE_TREND - state->trend_count;

    return &state->trend[(oldest + i) % STATE_TREND];
}
