/* Many jobs at a glance: the spread of their loss against sorting, and what stands out. */
#include "expect.h"

#include <stdlib.h>
#include <string.h>

#include "record/fleet.h"

static struct job job;
static struct procedure procedure;
static struct handover handover;
static struct fleet fleet;

/* A finished job with a loss; NaN = not measured. */
static void add(const char *name, double loss_db, FILE *file)
{
    handover = (struct handover){.job = &job, .procedure = &procedure, .finished = true};
    snprintf(handover.log.path, sizeof handover.log.path, "/logs/%s", name);
    handover.level.measured = isfinite(loss_db);
    handover.level.final = 13.0 - loss_db;
    handover.level.below_best = loss_db;
    fleet_add(&fleet, &handover, file);
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

static void quantiles_are_those_of_the_sorted_losses(void **unused)
{
    static const double shares[] = {0.01, 0.25, 0.5, 0.75, 0.9, 0.99, 1.0};
    double losses[998];
    FILE *file = fopen("/dev/null", "w");
    int n = 0;

    (void)unused;
    fleet_init(&fleet);
    assert_true(isnan(fleet_quantile_db(&fleet, 0.5)));
    for (; n < 997; n++) {
        losses[n] = n * 7919 % 997 * n % 523 / 100.0;
        add("a.jsonl", losses[n], file);
    }
    add("none.jsonl", NAN, file);
    add("gained.jsonl", -0.3, file); /* counts as none lost */
    fclose(file);
    assert_int_equal(fleet.measured, 998);
    losses[997] = -0.3;
    qsort(losses, 998, sizeof *losses, compare);
    for (size_t i = 0; i < sizeof shares / sizeof *shares; i++) {
        int at = (int)ceil(shares[i] * 998) - 1;
        expect_near(fleet_quantile_db(&fleet, shares[i]), fmax(losses[at], 0.0), 0.0051);
    }
}

static char *page_of(void (*fill)(FILE *file))
{
    static char *text;
    static size_t size;
    FILE *file = open_memstream(&text, &size);

    fleet_init(&fleet);
    fleet_begin(file);
    fill(file);
    assert_int_equal(fleet_finish(&fleet, file), 0);
    fclose(file);
    return text;
}

static void many_alike_and_two_worse(FILE *file)
{
    for (int i = 0; i < 40; i++) {
        add("alike.jsonl", 0.05 + 0.001 * i, file);
    }
    add("worse.jsonl", 0.6, file);
    add("worst.jsonl", 25.0, file); /* beyond the counted range */
    fleet_refuse(&fleet);
}

static void what_stands_out_is_named_worst_first(void **unused)
{
    char *text = page_of(many_alike_and_two_worse);
    char *out = strstr(text, "stands out");

    (void)unused;
    assert_non_null(out);
    assert_null(strstr(out, "alike.jsonl"));
    out = strstr(out, "worst.jsonl: 25.00 dB");
    assert_non_null(out);
    assert_non_null(strstr(out, "worse.jsonl: 0.60 dB"));
    assert_non_null(strstr(text, "43; 1 could not be read"));
    assert_non_null(strstr(text, "1.00 and more        1 #"));
    free(text);
}

static void more_than_the_room_for_them(FILE *file)
{
    for (int i = 0; i < 3 * FLEET_WORST; i++) {
        char name[32];
        snprintf(name, sizeof name, "job-%02d.jsonl", i);
        add(name, (double)(i * 17 % (3 * FLEET_WORST)), file);
    }
}

static void only_the_worst_are_kept(void **unused)
{
    char *text = page_of(more_than_the_room_for_them);

    (void)unused;
    assert_int_equal(fleet.worst_count, FLEET_WORST);
    for (int i = 0; i < FLEET_WORST; i++) {
        expect_near(fleet.worst[i].loss_db, 3 * FLEET_WORST - 1 - i, 0.0);
    }
    free(text);
}

static void failed(FILE *file)
{
    for (int i = 0; i < FLEET_WORST + 2; i++) {
        handover = (struct handover){.job = &job, .procedure = &procedure, .check_count = 2};
        strcpy(handover.log.path, "bad.jsonl");
        strcpy(handover.checks[0].what, "tighten");
        handover.checks[0].verdict = handover.checks[1].verdict = HANDOVER_NOT_MET;
        strcpy(handover.checks[1].what, "close");
        fleet_add(&fleet, &handover, file);
    }
}

static void lines_that_are_not_met_are_named(void **unused)
{
    char *text = page_of(failed);

    (void)unused;
    assert_non_null(strstr(text, "bad.jsonl: tighten, close"));
    assert_non_null(strstr(text, "and 2 jobs more"));
    assert_non_null(strstr(text, "none was measured in decibels"));
    assert_non_null(strstr(text, "14 not finished"));
    free(text);
}

static int set_up(void **unused)
{
    (void)unused;
    job_init(&job);
    procedure_init(&procedure, "none");
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(quantiles_are_those_of_the_sorted_losses),
        cmocka_unit_test(what_stands_out_is_named_worst_first),
        cmocka_unit_test(only_the_worst_are_kept),
        cmocka_unit_test(lines_that_are_not_met_are_named),
    };

    return cmocka_run_group_tests(tests, set_up, NULL);
}
