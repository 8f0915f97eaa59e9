#include "report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "numbers.h"

static const struct {
    double share, loss_db;
} loss_targets[] = {{0.5, 0.05}, {0.9, 0.15}, {0.99, 0.4}};
static const double skew_target_deg = 1.0, null_target_deg = 0.5;
static const double wrong_target = 0.005; /* called the target and is not */
static const double on_target = 0.9;

enum who { COACHED, ALONE, METER_TOP, UNSEEN, BOUND, WHO };

static const char *const who_names[WHO] = {"coached", "alone", "meter's top", "unseen",
                                           "noise bound"};
static const char *const where_names[] = {"target", "side lobe", "neighbour", "nothing"};

/* --- numbers -------------------------------------------------------------------------------- */

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

static double pick_unseen(const struct outcome *outcome)
{
    return outcome->unseen_db;
}

static double pick_meter_top(const struct outcome *outcome)
{
    return outcome->meter_top_db;
}

static double pick_time(const struct outcome *outcome)
{
    return outcome->finished ? outcome->pointing_s : OUTCOME_LIMIT_S;
}

static double pick_total(const struct outcome *outcome)
{
    return outcome->finished ? outcome->total_s : OUTCOME_LIMIT_S;
}

static const struct outcome *outcome_of(const struct report_row *row, enum who who)
{
    return who == ALONE ? &row->alone : &row->coached;
}

/* Which installs count: all; those that ended on the target; of these those whose meter has one
 * port, or two. */
enum which { ALL, GOOD, GOOD_ONE_PORT, GOOD_TWO_PORTS };

static bool counts(const struct report_row *row, enum who who, enum which which)
{
    const struct outcome *outcome = outcome_of(row, who);

    if (which == ALL) {
        return true;
    }
    return outcome->finished && outcome->where == ON_TARGET &&
           (which == GOOD || row->has_cross == (which == GOOD_TWO_PORTS));
}

/* Ascending. */
static struct numbers gather(const struct report_row *rows, size_t n, enum who who, pick_fn pick,
                             enum which which)
{
    struct numbers numbers = numbers_create(n);

    for (size_t i = 0; i < n; i++) {
        if (counts(&rows[i], who, which)) {
            numbers_add(&numbers, pick(outcome_of(&rows[i], who)));
        }
    }
    numbers_sort(&numbers);
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

static void print_row(FILE *file, const char *name, const struct report_row *rows, size_t n,
                      enum who who)
{
    static const pick_fn loss_of[WHO] = {pick_loss, pick_loss, pick_meter_top, pick_unseen,
                                         pick_bound};
    struct numbers loss = gather(rows, n, who, loss_of[who], GOOD);
    struct numbers skew = gather(rows, n, who, pick_skew, GOOD);
    struct numbers took = gather(rows, n, who, pick_time, ALL);
    struct numbers total = gather(rows, n, who, pick_total, ALL);
    struct shares shares = count(rows, n, who);

    fprintf(file, who == BOUND ? "%-12s %6.4f %6.4f %6.4f" : "%-12s %6.3f %6.3f %6.3f", name,
            numbers_at_share(&loss, 0.5), numbers_at_share(&loss, 0.9),
            numbers_at_share(&loss, 0.99));
    if (who == COACHED || who == ALONE) {
        fprintf(file, "  %5.2f %5.2f  %5.0f %5.0f %5.0f", numbers_at_share(&skew, 0.5),
                numbers_at_share(&skew, 0.9), numbers_at_share(&took, 0.5),
                numbers_at_share(&took, 0.9), numbers_at_share(&total, 0.5));
        fprintf(file, "  %5.1f %5.1f %5.1f %5.1f  %5.1f %5.1f %5.1f", 100 * shares.ended[ON_TARGET],
                100 * shares.ended[ON_SIDE_LOBE], 100 * shares.ended[ON_NEIGHBOUR],
                100 * shares.ended[ON_NOTHING], 100 * shares.wrong, 100 * shares.not_sure,
                100 * shares.unfinished);
    }
    fputc('\n', file);
    numbers_destroy(&loss);
    numbers_destroy(&skew);
    numbers_destroy(&took);
    numbers_destroy(&total);
}

static int print_target(FILE *file, bool met, const char *what, double target, double got)
{
    fprintf(file, "  %-8s %s: wanted %.6g, got %.3g\n", met ? "met" : "NOT MET", what, target, got);
    return !met;
}

static int judge_loss(FILE *file, const struct report_row *rows, size_t n)
{
    struct numbers loss = gather(rows, n, COACHED, pick_loss, GOOD);
    int missed = 0;

    for (size_t i = 0; i < sizeof loss_targets / sizeof *loss_targets; i++) {
        double got = numbers_at_share(&loss, loss_targets[i].share);
        char what[64];
        snprintf(what, sizeof what, "loss of %.0f %% at most, dB", 100.0 * loss_targets[i].share);
        missed +=
            print_target(file, got <= loss_targets[i].loss_db, what, loss_targets[i].loss_db, got);
    }
    numbers_destroy(&loss);
    return missed;
}

static int judge_skew(FILE *file, const struct report_row *rows, size_t n)
{
    struct numbers one = gather(rows, n, COACHED, pick_skew, GOOD_ONE_PORT);
    struct numbers two = gather(rows, n, COACHED, pick_skew, GOOD_TWO_PORTS);
    double got = numbers_at_share(&one, 0.9);
    int missed = 0;

    if (one.n > 0) {
        missed += print_target(file, got <= skew_target_deg, "skew error of 90 % at most, degrees",
                               skew_target_deg, got);
    }
    if (two.n > 0) {
        got = numbers_at_share(&two, 0.9);
        missed += print_target(file, got <= null_target_deg, "the same with a cross-polar reading",
                               null_target_deg, got);
    }
    numbers_destroy(&one);
    numbers_destroy(&two);
    return missed;
}

static int judge_rest(FILE *file, const struct report_row *rows, size_t n)
{
    struct numbers mine = gather(rows, n, COACHED, pick_time, ALL);
    struct numbers theirs = gather(rows, n, ALONE, pick_time, ALL);
    struct shares shares = count(rows, n, COACHED);
    double most_s = numbers_at_share(&theirs, 0.5), got = numbers_at_share(&mine, 0.5);
    int missed = 0;

    missed += print_target(file, shares.wrong <= wrong_target + 1e-9,
                           "called the target and is not, at most, %", 100.0 * wrong_target,
                           100.0 * shares.wrong);
    missed += print_target(file, shares.ended[ON_TARGET] >= on_target - 1e-9,
                           "ended on the target, at least, %", 100.0 * on_target,
                           100.0 * shares.ended[ON_TARGET]);
    missed +=
        print_target(file, got <= most_s, "median time, at most that of one alone, s", most_s, got);
    numbers_destroy(&mine);
    numbers_destroy(&theirs);
    return missed;
}

static void print_head(FILE *file)
{
    fprintf(file,
            "%-12s %20s  %11s  %17s  %23s %18s\n%-12s %6s %6s %6s  %5s %5s  %5s %5s %5s"
            "  %5s %5s %5s %5s %5s %5s %5s\n",
            "", "loss, dB", "skew, deg", "time, s", "ended on, %", "called not   not", "", "50 %",
            "90 %", "99 %", "50 %", "90 %", "50 %", "90 %", "whole", "targt", "side", "other",
            "none", "wrong", "sure", "done");
}

int report_family(FILE *file, int family, const struct report_row *rows, size_t n)
{
    fprintf(file, "\n%s: %s; %zu installs\n", family_name(family), family_title(family), n);
    print_head(file);
    for (int who = 0; who < WHO; who++) {
        print_row(file, who_names[who], rows, n, (enum who)who);
    }
    return judge_loss(file, rows, n) + judge_skew(file, rows, n) + judge_rest(file, rows, n);
}

/* --- kit by kit ----------------------------------------------------------------------------- */

static bool has_word(const char *list, const char *word)
{
    size_t length = strlen(word);

    for (const char *at = list; (at = strstr(at, word)) != NULL; at += length) {
        if ((at == list || at[-1] == ',') && (at[length] == ',' || at[length] == '\0')) {
            return true;
        }
    }
    return false;
}

static void print_those_with(FILE *file, const char *word, const struct report_row *rows, size_t n)
{
    struct report_row *some = calloc(n, sizeof *some);
    size_t count_some = 0;

    for (size_t i = 0; i < n && some; i++) {
        if (has_word(rows[i].kit, word) || strcmp(technician_model_name(rows[i].hand), word) == 0) {
            some[count_some++] = rows[i];
        }
    }
    if (count_some > 0) {
        fprintf(file, "%s: %zu\n", word, count_some);
        print_row(file, who_names[COACHED], some, count_some, COACHED);
        print_row(file, who_names[ALONE], some, count_some, ALONE);
    }
    free(some);
}

void report_kits(FILE *file, const struct report_row *rows, size_t n)
{
    enum { WORDS = 32 };
    char words[WORDS][FAMILY_KIT_SIZE];
    size_t count_words = 0;

    for (size_t i = 0; i < n; i++) {
        char kit[FAMILY_KIT_SIZE], *rest = kit, *word;
        memcpy(kit, rows[i].kit, sizeof kit);
        while ((word = strsep(&rest, ",")) != NULL) {
            size_t known = 0;
            while (known < count_words && strcmp(words[known], word) != 0) {
                known++;
            }
            if (known == count_words && known < WORDS && word[0] != '\0') {
                strcpy(words[count_words++], word);
            }
        }
    }
    for (size_t i = 0; i < count_words; i++) {
        print_those_with(file, words[i], rows, n);
    }
    for (int i = 0; i < TECHNICIAN_MODELS; i++) {
        print_those_with(file, technician_model_name((enum technician_model)i), rows, n);
    }
}

/* --- lines ---------------------------------------------------------------------------------- */

static void print_outcome(FILE *file, const struct outcome *outcome)
{
    const char *where =
        outcome->where == ON_NEIGHBOUR ? outcome->satellite : where_names[outcome->where];

    fprintf(file, "\t%s\t%s\t%s\t%.3f\t%.3f\t%.3f\t%.2f\t%.0f",
            outcome->finished ? "finished" : "unfinished", outcome->sure ? "sure" : "not sure",
            where, outcome->loss_db, outcome->off_beams[0], outcome->off_beams[1],
            outcome->skew_deg, outcome->pointing_s);
}

void report_line(FILE *file, const struct report_row *row)
{
    fprintf(file, "%s\t%llu\t%s\t%s", family_name(row->family), (unsigned long long)row->seed,
            technician_model_name(row->hand), row->kit[0] ? row->kit : "-");
    print_outcome(file, &row->coached);
    print_outcome(file, &row->alone);
    fputc('\n', file);
}
