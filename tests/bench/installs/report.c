#include "report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    double share, loss_db;
} loss_targets[] = {{0.5, 0.05}, {0.9, 0.15}, {0.99, 0.4}};
static const double skew_target_deg = 1.0, null_target_deg = 0.5;
static const double wrong_target = 0.005; /* called the target and is not */
static const double on_target = 0.9;

enum who { COACHED, ALONE, BOUND, WHO };

static const char *const who_names[WHO] = {"coached", "alone", "noise bound"};
static const char *const where_names[] = {"target", "side lobe", "neighbour", "nothing"};

/* --- numbers -------------------------------------------------------------------------------- */

struct numbers {
    double *values; /* owned */
    size_t n;
};

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Nearest rank: the smallest that a share of them does not exceed. NaN without any. */
static double at_share(const struct numbers *numbers, double share)
{
    size_t rank = (size_t)ceil(share * (double)numbers->n - 1e-9);

    return numbers->n == 0 ? NAN : numbers->values[rank > 0 ? rank - 1 : 0];
}

typedef double (*pick_fn)(const struct outcome *outcome);

static double pick_loss(const struct outcome *outcome)
{
    return outcome->loss_db;
}

static double pick_skew(const struct outcome *outcome)
{
    return outcome->skew_deg;
}

static double pick_bound(const struct outcome *outcome)
{
    return outcome->bound_db;
}

static double pick_time(const struct outcome *outcome)
{
    return outcome->pointing_s;
}

static double pick_total(const struct outcome *outcome)
{
    return outcome->total_s;
}

static const struct outcome *outcome_of(const struct report_row *row, enum who who)
{
    return who == ALONE ? &row->alone : &row->coached;
}

/* Of the installs that ended on the target (or, if `any`, that ended at all), ascending. */
static struct numbers gather(const struct report_row *rows, size_t n, enum who who, pick_fn pick,
                             bool any)
{
    struct numbers numbers = {.values = calloc(n + 1, sizeof(double))};

    for (size_t i = 0; i < n && numbers.values; i++) {
        const struct outcome *outcome = outcome_of(&rows[i], who);
        double value = pick(outcome);
        if (outcome->finished && (any || outcome->where == ON_TARGET) && isfinite(value)) {
            numbers.values[numbers.n++] = value;
        }
    }
    if (numbers.values) {
        qsort(numbers.values, numbers.n, sizeof(double), compare);
    }
    return numbers;
}

struct shares {
    double ended[4]; /* finished, by enum outcome_where */
    double unfinished, wrong, not_sure;
};

static struct shares count(const struct report_row *rows, size_t n, enum who who)
{
    struct shares shares = {.unfinished = 0.0};

    for (size_t i = 0; i < n; i++) {
        const struct outcome *outcome = outcome_of(&rows[i], who);
        double one = 1.0 / (double)n;
        if (!outcome->finished) {
            shares.unfinished += one;
            continue;
        }
        shares.ended[outcome->where] += one;
        shares.wrong += outcome->sure && outcome->where != ON_TARGET ? one : 0.0;
        shares.not_sure += outcome->sure ? 0.0 : one;
    }
    return shares;
}

/* --- the table ------------------------------------------------------------------------------ */

static void print_row(FILE *file, const struct report_row *rows, size_t n, enum who who)
{
    struct numbers loss = gather(rows, n, who, who == BOUND ? pick_bound : pick_loss, false);
    struct numbers skew = gather(rows, n, who, pick_skew, false);
    struct numbers took = gather(rows, n, who, pick_time, true);
    struct numbers total = gather(rows, n, who, pick_total, true);
    struct shares shares = count(rows, n, who);

    fprintf(file, "%-12s %6.3f %6.3f %6.3f", who_names[who], at_share(&loss, 0.5),
            at_share(&loss, 0.9), at_share(&loss, 0.99));
    if (who != BOUND) {
        fprintf(file, "  %5.2f %5.2f  %5.0f %5.0f %5.0f", at_share(&skew, 0.5),
                at_share(&skew, 0.9), at_share(&took, 0.5), at_share(&took, 0.9),
                at_share(&total, 0.5));
        fprintf(file, "  %5.1f %5.1f %5.1f %5.1f  %5.1f %5.1f %5.1f", 100 * shares.ended[ON_TARGET],
                100 * shares.ended[ON_SIDE_LOBE], 100 * shares.ended[ON_NEIGHBOUR],
                100 * shares.ended[ON_NOTHING], 100 * shares.wrong, 100 * shares.not_sure,
                100 * shares.unfinished);
    }
    fputc('\n', file);
    free(loss.values);
    free(skew.values);
    free(took.values);
    free(total.values);
}

static int print_target(FILE *file, bool met, const char *what, double target, double got)
{
    fprintf(file, "  %-8s %s: wanted %.6g, got %.3g\n", met ? "met" : "NOT MET", what, target, got);
    return !met;
}

static int judge(FILE *file, const struct report_row *rows, size_t n, bool has_null)
{
    struct numbers loss = gather(rows, n, COACHED, pick_loss, false);
    struct numbers skew = gather(rows, n, COACHED, pick_skew, false);
    struct numbers mine = gather(rows, n, COACHED, pick_time, true);
    struct numbers theirs = gather(rows, n, ALONE, pick_time, true);
    struct shares shares = count(rows, n, COACHED);
    double skew_most = has_null ? null_target_deg : skew_target_deg;
    double got;
    int missed = 0;

    for (size_t i = 0; i < sizeof loss_targets / sizeof *loss_targets; i++) {
        char what[64];
        snprintf(what, sizeof what, "loss of %.0f %% at most, dB", 100.0 * loss_targets[i].share);
        got = at_share(&loss, loss_targets[i].share);
        missed +=
            print_target(file, got <= loss_targets[i].loss_db, what, loss_targets[i].loss_db, got);
    }
    got = at_share(&skew, 0.9);
    missed +=
        print_target(file, got <= skew_most, "skew error of 90 % at most, degrees", skew_most, got);
    missed += print_target(file, shares.wrong <= wrong_target + 1e-9,
                           "called the target and is not, at most, %", 100.0 * wrong_target,
                           100.0 * shares.wrong);
    missed += print_target(file, shares.ended[ON_TARGET] >= on_target - 1e-9,
                           "ended on the target, at least, %", 100.0 * on_target,
                           100.0 * shares.ended[ON_TARGET]);
    got = at_share(&mine, 0.5);
    missed +=
        print_target(file, got <= at_share(&theirs, 0.5),
                     "median time, at most that of one alone, s", at_share(&theirs, 0.5), got);
    free(loss.values);
    free(skew.values);
    free(mine.values);
    free(theirs.values);
    return missed;
}

int report_family(FILE *file, int family, const struct report_row *rows, size_t n)
{
    fprintf(file,
            "\n%s: %s; %zu installs\n"
            "             loss, dB              skew, deg    time, s            ended on, %%"
            "                called  not   not\n"
            "               50 %%   90 %%   99 %%   50 %%  90 %%   50 %%  90 %% whole"
            "  target  side other  none  wrong  sure  done\n",
            family_name(family), family_title(family), n);
    for (int who = 0; who < WHO; who++) {
        print_row(file, rows, n, (enum who)who);
    }
    return judge(file, rows, n, false);
}

/* --- lines ---------------------------------------------------------------------------------- */

static void print_outcome(FILE *file, const struct outcome *outcome)
{
    const char *where =
        outcome->where == ON_NEIGHBOUR ? outcome->satellite : where_names[outcome->where];

    fprintf(file, "\t%s\t%s\t%s\t%.3f\t%.2f\t%.0f", outcome->finished ? "finished" : "unfinished",
            outcome->sure ? "sure" : "not sure", where, outcome->loss_db, outcome->skew_deg,
            outcome->pointing_s);
}

void report_line(FILE *file, const struct report_row *row)
{
    fprintf(file, "%s\t%llu\t%s\t%s", family_name(row->family), (unsigned long long)row->seed,
            technician_model_name(row->hand), row->kit[0] ? row->kit : "-");
    print_outcome(file, &row->coached);
    print_outcome(file, &row->alone);
    fputc('\n', file);
}
