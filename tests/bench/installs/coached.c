#include "coached.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "coach/coach.h"
#include "command/options.h"
#include "session/log.h"
#include "source/sim.h"

enum { BOUND_STREAM = 3000 };

struct run {
    struct procedure procedure;
    struct magnetic_model magnetic;
    struct state state;
    struct coach coach;
    struct log_writer log;
    struct world *world; /* borrowed from the source */
    void *source;        /* owned */
    double t;
    double set_t, tight_t;      /* NaN = not yet */
    struct outcome_step *steps; /* borrowed from the caller */
    struct bound bound;
    int failed;
};

static void complain(const char *what, int error)
{
    fprintf(stderr, "installs: %s: %s\n", what, strerror(-error));
}

/* When the pointing began and when it ended, and each step. */
static void note_step(struct run *run, const struct record *record)
{
    enum procedure_do act;

    if (record->kind != RECORD_STEP || record->step.number < 1) {
        return;
    }
    act = run->procedure.steps[record->step.number - 1].act;
    if (record->step.event == STEP_ENTER && act == DO_SET && isnan(run->set_t)) {
        run->set_t = record->t;
    } else if (record->step.event == STEP_LEAVE && act == DO_TIGHTEN) {
        run->tight_t = record->t;
    }
    outcome_pass_step(run->world, record->t, record->step.event == STEP_ENTER,
                      &run->steps[record->step.number - 1]);
}

static void keep(struct run *run, const struct record *record)
{
    state_apply(&run->state, record);
    note_step(run, record);
    if (run->log.fd >= 0) {
        int r = log_write(&run->log, record);
        run->failed = r < 0 ? r : run->failed;
    }
}

static void apply(struct run *run, const struct record *record)
{
    struct record input = *record, made;

    input.t = fmax(input.t, run->state.t);
    record_round(&input);
    keep(run, &input);
    if (input.kind == RECORD_LEVEL) {
        bound_add(&run->bound, run->world);
    }
    coach_update(&run->coach, &run->state, &input);
    while (coach_take(&run->coach, &made)) {
        record_round(&made);
        keep(run, &made);
        if (made.kind == RECORD_ADVICE) {
            source_sim.advise(run->source, run->t, &made.advice);
        }
    }
}

static int begin(struct run *run, const struct install *install, const char *log_path)
{
    struct source_setup setup = {
        .job = &install->job, .meter = job_find_meter(&install->job, ""), .name = "mount"};
    int r;

    run->log.fd = -1;
    run->set_t = run->tight_t = NAN;
    if (options_procedure(&install->job, &run->procedure) < 0) {
        return -EINVAL;
    }
    outcome_begin_steps(&run->procedure, run->steps);
    magnetic_builtin(&run->magnetic);
    state_init(&run->state, &install->job, &run->magnetic);
    coach_init(&run->coach, &install->job, &run->procedure);
    bound_init(&run->bound, &install->scenario);
    r = world_create_of(&install->scenario, install->seed, &run->world);
    if (r < 0) {
        return r;
    }
    r = sim_attach(run->world, &setup, &install->hand, install->seed, &run->source);
    if (r < 0) {
        world_destroy(run->world);
        return r;
    }
    return log_path ? log_create(&run->log, log_path, &install->job, &run->procedure) : 0;
}

/* Until the source has said how the mount stands: that is the last it says of its own. */
static void work(struct run *run)
{
    struct record record;

    while (run->failed == 0 && run->t < OUTCOME_LIMIT_S) {
        bool was_finished = run->coach.finished;
        run->t = fmax(run->t, source_sim.wake(run->source));
        while (source_sim.read(run->source, run->t, &record) == 1) {
            apply(run, &record);
        }
        if (was_finished) {
            break;
        }
    }
}

int coached_install(const struct install *install, const char *log_path, struct outcome *ret,
                    struct outcome_step ret_steps[PROCEDURE_STEPS])
{
    struct run *run = calloc(1, sizeof *run);
    struct sim_random random;
    int r;

    if (!run) {
        complain("coached", -ENOMEM);
        return -1;
    }
    run->steps = ret_steps;
    r = begin(run, install, log_path);
    if (r == 0) {
        work(run);
        r = run->failed;
    }
    if (r == 0) {
        random_seed(&random, install->seed, BOUND_STREAM);
        *ret = (struct outcome){.finished = run->coach.finished,
                                .sure = run->coach.learned.sure,
                                .total_s = run->t,
                                .bound_db = bound_loss_db(&run->bound, &random)};
        ret->unseen_db =
            outcome_unseen_db(run->world, technician_habit(install->hand)->hand_error, &random);
        ret->pointing_s = (isnan(run->tight_t) ? run->t : run->tight_t) - run->set_t;
        outcome_look(run->world, ret);
    } else {
        complain(log_path ? log_path : "coached", r);
    }
    log_close(&run->log);
    if (run->source) {
        source_sim.close(run->source);
    }
    free(run);
    return r < 0 ? -1 : 0;
}

int lone_install(const struct install *install, struct outcome *ret)
{
    struct alone_result result;
    struct world *world;
    int r = world_create_of(&install->scenario, install->seed, &world);

    if (r < 0) {
        complain("alone", r);
        return -1;
    }
    alone_install(world, install->hand, install->seed, &install->sheet, OUTCOME_LIMIT_S, &result);
    *ret = (struct outcome){.finished = result.finished,
                            .sure = true,
                            .pointing_s = result.took_s,
                            .total_s = result.took_s,
                            .unseen_db = NAN,
                            .bound_db = NAN};
    outcome_look(world, ret);
    world_destroy(world);
    return 0;
}
