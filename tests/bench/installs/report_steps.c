#include <math.h>

#include "numbers.h"
#include "report.h"

enum side { RIGHT, UP, SIDES };

/* One step over all installs that ended on the target. */
struct step_numbers {
    size_t begun;
    struct numbers took, loss, off[SIDES];
};

static bool ended_well(const struct report_row *row)
{
    return row->coached.finished && row->coached.where == ON_TARGET;
}

static struct step_numbers gather_step(const struct report_row *rows, size_t n, int number)
{
    struct step_numbers ret = {.took = numbers_create(n),
                               .loss = numbers_create(n),
                               .off = {numbers_create(n), numbers_create(n)}};

    for (size_t i = 0; i < n; i++) {
        const struct outcome_step *step = &rows[i].steps[number];
        if (ended_well(&rows[i]) && step->turns > 0) {
            ret.begun++;
            numbers_add(&ret.took, step->took_s);
            numbers_add(&ret.loss, step->loss_db);
            numbers_add(&ret.off[RIGHT], step->off_beams[RIGHT]);
            numbers_add(&ret.off[UP], step->off_beams[UP]);
        }
    }
    numbers_sort(&ret.took);
    numbers_sort(&ret.loss);
    return ret;
}

/* The mean, and how far they scatter about it. */
static void print_spread(FILE *file, const struct numbers *numbers)
{
    double mean = numbers_mean(numbers), sum = 0.0;

    for (size_t i = 0; i < numbers->n; i++) {
        sum += (numbers->values[i] - mean) * (numbers->values[i] - mean);
    }
    fprintf(file, "  %6.3f %5.3f", mean, sqrt(sum / (double)numbers->n));
}

static void print_step(FILE *file, const char *name, const struct report_row *rows, size_t n,
                       int number)
{
    struct step_numbers step = gather_step(rows, n, number);

    if (step.begun > 0) {
        fprintf(file, "%-26s %5zu  %5.0f %5.0f %5.0f  %6.3f %6.3f %6.3f", name, step.begun,
                numbers_mean(&step.took), numbers_at_share(&step.took, 0.5),
                numbers_at_share(&step.took, 0.9), numbers_mean(&step.loss),
                numbers_at_share(&step.loss, 0.5), numbers_at_share(&step.loss, 0.9));
        print_spread(file, &step.off[RIGHT]);
        print_spread(file, &step.off[UP]);
        fputc('\n', file);
    }
    numbers_destroy(&step.took);
    numbers_destroy(&step.loss);
    numbers_destroy(&step.off[RIGHT]);
    numbers_destroy(&step.off[UP]);
}

void report_steps(FILE *file, const struct report_row *rows, size_t n)
{
    fprintf(file,
            "\n%-26s %5s  %17s  %20s  %12s  %12s\n%-26s %5s  %5s %5s %5s  %6s %6s %6s"
            "  %6s %5s  %6s %5s\n",
            "by step, of those that", "", "time, s", "loss when left, dB", "right, B", "up, B",
            "ended on the target", "begun", "mean", "50 %", "90 %", "mean", "50 %", "90 %", "mean",
            "sd", "mean", "sd");
    for (int i = 0; i < PROCEDURE_STEPS; i++) {
        print_step(file, rows->steps[i].name, rows, n, i);
    }
}
