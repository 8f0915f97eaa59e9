/* The judgement line by line: a table of how a step ended and what was measured. */
#include "expect.h"

#include <stdlib.h>
#include <string.h>

#include "record/handover_csv.h"
#include "record/handover_judge.h"
#include "record/handover_signal.h"

static struct job job;
static struct procedure procedure;
static struct handover handover;

static void one_step(enum procedure_do act, enum axis axis, enum handover_ending ending)
{
    procedure_init(&procedure, "one");
    procedure.step_count = 1;
    procedure.steps[0] = (struct procedure_step){
        .name = "one", .act = act, .axis = axis, .tolerance_deg = NAN, .limit_db = NAN};
    job_init(&job);
    handover = (struct handover){.job = &job, .procedure = &procedure};
    handover.steps[0].ending = ending;
    handover.isolation.wanted_db = NAN;
    handover.level.below_best = NAN;
    handover.site.origin = HANDOVER_MEASURED;
    handover.axes[AXIS_ELEVATION].computed_deg = 35.0;
    handover.axes[axis == AXIS_NONE ? 0 : axis].lobe.below_top = NAN;
}

static enum handover_verdict verdict(void)
{
    handover_judge(&handover);
    assert_int_equal(handover.check_count, 1);
    assert_true(handover.checks[0].limit[0] != '\0');
    return handover.checks[0].verdict;
}

static void how_a_step_ended_decides(void **unused)
{
    static const struct {
        enum procedure_do act;
        enum handover_ending ending;
        enum handover_verdict want;
    } rows[] = {
        {DO_CONFIRM, HANDOVER_CONFIRMED, HANDOVER_MET},
        {DO_CONFIRM, HANDOVER_SKIPPED, HANDOVER_NOT_MET},
        {DO_CONFIRM, HANDOVER_NEVER, HANDOVER_NOT_MET},
        {DO_CONFIRM, HANDOVER_AGAIN, HANDOVER_NOT_MET},
        {DO_FIX, HANDOVER_DONE, HANDOVER_MET},
        {DO_FIX, HANDOVER_SKIPPED, HANDOVER_NOT_MET},
        {DO_SET, HANDOVER_DONE, HANDOVER_MET},
        {DO_SET, HANDOVER_BY_WORD, HANDOVER_NOT_MEASURED},
        {DO_SWEEP, HANDOVER_DONE, HANDOVER_MET},
        {DO_SWEEP, HANDOVER_BY_WORD, HANDOVER_NOT_MEASURED},
        {DO_SWEEP, HANDOVER_OPEN, HANDOVER_NOT_MEASURED},
        {DO_IDENTIFY, HANDOVER_DONE, HANDOVER_NOT_MEASURED}, /* not sure */
        {DO_PEAK, HANDOVER_SKIPPED, HANDOVER_NOT_MEASURED},
        {DO_NULL, HANDOVER_DONE, HANDOVER_NOT_MEASURED}, /* it stays, no lobe */
        {DO_TIGHTEN, HANDOVER_SKIPPED, HANDOVER_NOT_MEASURED},
        {DO_MEASURE, HANDOVER_SKIPPED, HANDOVER_NOT_MEASURED},
        {DO_RECORD, HANDOVER_DONE, HANDOVER_MET},
        {DO_RECORD, HANDOVER_NEVER, HANDOVER_NOT_MET},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bool turns = rows[i].act == DO_SET || rows[i].act == DO_PEAK || rows[i].act == DO_SWEEP;
        one_step(rows[i].act, turns ? AXIS_AZIMUTH : AXIS_NONE, rows[i].ending);
        if (verdict() != rows[i].want) {
            fail_msg("row %zu: %s", i, handover_verdict_name(handover.checks[0].verdict));
        }
    }
}

static void a_number_is_held_against_its_limit(void **unused)
{
    static const struct {
        enum procedure_do act;
        double found, error;
        enum handover_verdict want;
        const char *words;
    } rows[] = {
        {DO_TIGHTEN, 0.10, 0.05, HANDOVER_MET, "0.10 \u00b1 0.05 dB lost"},
        {DO_TIGHTEN, 0.29, 0.05, HANDOVER_MET, "beyond the limit but not surely so"},
        {DO_TIGHTEN, 0.31, 0.05, HANDOVER_NOT_MET, "0.31 \u00b1 0.05 dB lost"},
        {DO_TIGHTEN, -0.40, 0.05, HANDOVER_MET, "0.40 \u00b1 0.05 dB gained"},
        {DO_TIGHTEN, 0.21, NAN, HANDOVER_NOT_MET, "0.21 dB lost"},
        {DO_MEASURE, 0.20, NAN, HANDOVER_MET, "0.20 dB below it"},
        {DO_MEASURE, 0.25, 0.02, HANDOVER_NOT_MET, "0.25 \u00b1 0.02 dB below it"},
        {DO_MEASURE, NAN, NAN, HANDOVER_NOT_MEASURED, ""},
        {DO_PEAK, 0.09, 0.01, HANDOVER_MET, "0.09 \u00b1 0.01 dB below it"},
        {DO_PEAK, 0.30, 0.02, HANDOVER_NOT_MET, "0.30"},
        {DO_PEAK, NAN, NAN, HANDOVER_NOT_MEASURED, ""},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct handover_lobe *lobe = &handover.axes[AXIS_AZIMUTH].lobe;
        one_step(rows[i].act, rows[i].act == DO_PEAK ? AXIS_AZIMUTH : AXIS_NONE, HANDOVER_DONE);
        lobe->below_top = rows[i].found;
        lobe->level_error = rows[i].error;
        handover.level.measured = isfinite(rows[i].found);
        handover.level.below_best = rows[i].found;
        handover.level.final_error = rows[i].error;
        handover.fastening_count = 1;
        handover.fastenings[0] =
            (struct handover_fastening){.loss_db = rows[i].found, .loss_error_db = rows[i].error};
        if (verdict() != rows[i].want || !strstr(handover.checks[0].found, rows[i].words)) {
            fail_msg("row %zu: %s, '%s'", i, handover_verdict_name(handover.checks[0].verdict),
                     handover.checks[0].found);
        }
        expect_near(handover.checks[0].found_value, rows[i].found, 0.0);
    }
}

static void another_satellite_is_not_the_target(void **unused)
{
    char why[JOB_ERROR_SIZE];

    (void)unused;
    one_step(DO_IDENTIFY, AXIS_NONE, HANDOVER_DONE);
    handover.steps[0].sure = true;
    assert_int_equal(verdict(), HANDOVER_MET);
    job_set(&job, "target", "id", "PTARMIGAN", why);
    strcpy(handover.identity.lock_id, "PTARMIGAN");
    assert_int_equal(verdict(), HANDOVER_MET);
    strcpy(handover.identity.lock_id, "MARMOT");
    assert_int_equal(verdict(), HANDOVER_NOT_MET);
}

/* What is implied may be shown, but never counts as measured. */
static void isolation_counts_only_when_it_was_measured(void **unused)
{
    static const struct {
        enum handover_origin origin;
        double db;
        enum handover_verdict want;
    } rows[] = {
        {HANDOVER_MEASURED, 31.0, HANDOVER_MET},
        {HANDOVER_MEASURED, 24.9, HANDOVER_NOT_MET},
        {HANDOVER_READ, 25.0, HANDOVER_MET},
        {HANDOVER_IMPLIED, 40.0, HANDOVER_NOT_MEASURED},
        {HANDOVER_UNKNOWN, NAN, HANDOVER_NOT_MEASURED},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        one_step(DO_RECORD, AXIS_NONE, HANDOVER_DONE);
        handover.isolation.wanted_db = 25.0;
        handover.isolation.origin = rows[i].origin;
        handover.isolation.db = rows[i].db;
        handover_judge(&handover);
        assert_int_equal(handover.check_count, 2);
        assert_int_equal(handover.checks[1].verdict, rows[i].want);
        assert_int_equal(handover.checks[1].step, -1);
    }
}

static void a_quiz_is_not_judged(void **unused)
{
    (void)unused;
    one_step(DO_RECORD, AXIS_NONE, HANDOVER_NEVER);
    handover.kind = HANDOVER_QUIZ;
    handover_judge(&handover);
    assert_int_equal(handover.check_count, 0);
}

static void only_a_ratio_to_noise_gives_es_n0(void **unused)
{
    static const struct {
        enum level_unit unit;
        const char *quantity;
        double want;
    } rows[] = {
        {LEVEL_DB, "C/N", 12.0}, {LEVEL_DB, "Es/N0", 12.0},   {LEVEL_DB, "es/no", 12.0},
        {LEVEL_DB, "SNR", 12.0}, {LEVEL_DB, "Eb/N0", NAN},    {LEVEL_DB, "", NAN},
        {LEVEL_DBM, "C/N", NAN}, {LEVEL_PERCENT, "SNR", NAN}, {LEVEL_DB, "C/N0", NAN},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        expect_near(handover_signal_esn0_db(rows[i].unit, rows[i].quantity, 12.0), rows[i].want,
                    0.0);
    }
}

/* RFC 4180, 2.6 and 2.7: quotes around what holds a comma, a quote or a line's end. */
static void a_name_with_commas_stays_one_field(void **unused)
{
    char why[JOB_ERROR_SIZE], *text = NULL;
    size_t size = 0;
    FILE *file = open_memstream(&text, &size);

    (void)unused;
    one_step(DO_RECORD, AXIS_NONE, HANDOVER_DONE);
    job_set(&job, "site", "name", "Hut, \"upper\"", why);
    assert_int_equal(handover_csv_row(&handover, file), 0);
    fclose(file);
    assert_non_null(strstr(text, ",\"Hut, \"\"upper\"\"\","));
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(how_a_step_ended_decides),
        cmocka_unit_test(a_number_is_held_against_its_limit),
        cmocka_unit_test(another_satellite_is_not_the_target),
        cmocka_unit_test(isolation_counts_only_when_it_was_measured),
        cmocka_unit_test(a_quiz_is_not_judged),
        cmocka_unit_test(only_a_ratio_to_noise_gives_es_n0),
        cmocka_unit_test(a_name_with_commas_stays_one_field),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
