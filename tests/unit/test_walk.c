#include "expect.h"

#include <errno.h>

#include "chance.h"
#include "peaking/walk.h"

/* A lobe one degree wide, its top at 14 dB; the walk begins 0.3 degrees below the top. */
static const double peak = 14.0, width = 1.0, fall = 12.0, begun = -0.3;

static const struct walk_hand hand = {
    .share = 0.13, .step_deg = 0.02, .play_deg = 0.06, .play_share_sd = 0.4};
static const struct walk_prior dish = {
    .width_deg = 1.0,
    .width_share_sd = 0.08,
    .centre_deg = 0.0,
    .centre_error_deg = 0.5,
    .peak = NAN,
    .fall = 12.0,
    .saturation = NAN,
};

static double level_at(double x)
{
    return peak - fall * (x / width) * (x / width);
}

/* A mount with play, and a hand that gives other than it says. */
struct mount {
    double bolt, x;
};

static void turn(struct mount *mount, struct walk *walk, double told, double given)
{
    double half = 0.5 * hand.play_deg;

    mount->bolt += given;
    mount->x = fmin(fmax(mount->x, mount->bolt - half), mount->bolt + half);
    walk_turn(walk, told, &hand);
}

static void read_level(const struct mount *mount, struct walk *walk, double off_db)
{
    walk_read(walk, level_at(mount->x) + off_db, 0.12);
}

/* Play taken up, so that it turns up at once. */
static struct mount begin(struct walk *walk)
{
    walk_begin(walk);
    walk->way = 1;
    return (struct mount){.bolt = begun + 0.5 * hand.play_deg, .x = begun};
}

/* Up over the top, back down and up to the flank, each turn as long as `gives` times what is told.
 */
static struct mount go_over(struct walk *walk, double gives, double fade_db)
{
    struct mount mount = begin(walk);
    static const double turns[] = {0.45, 0.45, -1.0, 0.2};

    read_level(&mount, walk, fade_db);
    for (int i = 0; i < 4; i++) {
        turn(&mount, walk, turns[i], gives * turns[i]);
        if (i != 2) {
            read_level(&mount, walk, fade_db);
        }
    }
    return mount;
}

static void a_true_hand_is_followed_to_the_top(void **state)
{
    struct walk walk;
    struct walk_fit fit;
    struct mount mount = go_over(&walk, 1.0, 0.0);

    (void)state;
    assert_int_equal(walk_fit(&walk, &dish, &fit), 0);
    expect_near(fit.to_go_deg, -mount.x, 0.005);
    expect_near(fit.peak, peak, 0.02);
    expect_near(fit.curve, fall, 0.3);
    expect_near(fit.low_deg, begun, 0.01);
    expect_near(fit.high_deg, begun + 0.9, 0.01);
}

/* A fifth short or long on all of 2.1 degrees: the levels leave a fraction of it. */
static void the_levels_tell_what_a_hand_really_gives(void **state)
{
    static const double gives[] = {0.8, 0.9, 1.1, 1.2};

    (void)state;
    for (size_t i = 0; i < sizeof gives / sizeof *gives; i++) {
        struct walk walk;
        struct walk_fit fit;
        struct mount mount = go_over(&walk, gives[i], 0.0);
        assert_int_equal(walk_fit(&walk, &dish, &fit), 0);
        expect_near(fit.to_go_deg, -mount.x, 0.06);
    }
}

static void a_turn_twice_as_far_as_told_is_found_out(void **state)
{
    struct walk walk;
    struct walk_fit fit;
    struct mount mount = begin(&walk);

    (void)state;
    read_level(&mount, &walk, 0.0);
    turn(&mount, &walk, 0.25, 0.25);
    read_level(&mount, &walk, 0.0);
    turn(&mount, &walk, 0.25, 0.50);
    read_level(&mount, &walk, 0.0);
    assert_int_equal(walk_fit(&walk, &dish, &fit), 0);
    expect_near(fit.to_go_deg, -mount.x, 0.08);
}

/* Far out the parabola is far below any floor: such a level only says "far". */
static void a_floor_in_the_skirt_does_not_mislead(void **state)
{
    struct walk walk;
    struct walk_fit fit;
    struct mount mount = begin(&walk);

    (void)state;
    read_level(&mount, &walk, 0.0);
    turn(&mount, &walk, 1.6, 1.6);
    walk_read(&walk, 1.0, 0.12);
    turn(&mount, &walk, -1.4, -1.4);
    read_level(&mount, &walk, 0.0);
    turn(&mount, &walk, 0.3, 0.3);
    read_level(&mount, &walk, 0.0);
    assert_int_equal(walk_fit(&walk, &dish, &fit), 0);
    expect_near(fit.to_go_deg, -mount.x, 0.04);
}

static void a_clipped_top_is_found_between_its_flanks(void **state)
{
    struct walk_prior prior = dish;
    struct walk walk;
    struct walk_fit fit;
    struct mount mount = begin(&walk);

    (void)state;
    prior.saturation = 13.0;
    walk_read(&walk, fmin(level_at(mount.x), 13.0), 0.12);
    for (int i = 0; i < 2; i++) {
        turn(&mount, &walk, 0.45, 0.45);
        walk_read(&walk, fmin(level_at(mount.x), 13.0), 0.12);
    }
    turn(&mount, &walk, -1.2, -1.2);
    turn(&mount, &walk, 0.2, 0.2);
    walk_read(&walk, fmin(level_at(mount.x), 13.0), 0.12);
    assert_int_equal(walk_fit(&walk, &prior, &fit), 0);
    expect_near(fit.to_go_deg, -mount.x, 0.03);
    expect_near(fit.peak, peak, 0.3);
}

/* A meter in per cent, of which nothing is known but that it grows: what it falls is found. */
static void an_unknown_scale_is_found_with_the_top(void **state)
{
    struct walk_prior prior = dish;
    struct walk walk;
    struct walk_fit fit;
    struct mount mount = begin(&walk);
    static const double turns[] = {0.3, 0.3, -1.0, 0.2};

    (void)state;
    prior.fall = NAN;
    walk_read(&walk, 4.0 * level_at(mount.x), 0.5);
    for (int i = 0; i < 4; i++) {
        turn(&mount, &walk, turns[i], turns[i]);
        if (i != 2) {
            walk_read(&walk, 4.0 * level_at(mount.x), 0.5);
        }
    }
    assert_int_equal(walk_fit(&walk, &prior, &fit), 0);
    expect_near(fit.to_go_deg, -mount.x, 0.02);
    expect_near(fit.curve, 4.0 * fall, 4.0);
}

/* With a hand that is exactly right it is a straight line's slope: level + k x^2 over x is one, its
 * slope 2 k centre, of variance noise^2 / sum (x - mean)^2 (any textbook of regression). */
static void a_perfect_hand_has_the_error_of_theory(void **state)
{
    static const struct walk_hand perfect = {0.0, 1e-6, 0.0, 0.0};
    struct walk_prior prior = dish;
    struct walk walk;
    struct walk_fit fit;

    (void)state;
    prior.width_share_sd = 1e-6;
    prior.centre_error_deg = 1e6;
    walk_begin(&walk);
    /* so little below the top that the lobe's own shape costs nothing */
    walk_read(&walk, level_at(-0.1), 0.05);
    walk_turn(&walk, 0.1, &perfect);
    walk_read(&walk, level_at(0.0), 0.05);
    walk_turn(&walk, 0.1, &perfect);
    walk_read(&walk, level_at(0.1), 0.05);
    assert_int_equal(walk_fit(&walk, &prior, &fit), 0);
    expect_near(fit.to_go_deg, -0.1, 1e-4);
    expect_near(fit.to_go_error_deg, 0.05 / sqrt(0.02) / 24.0, 0.02 * 0.05 / sqrt(0.02) / 24.0);
}

/* Of a thousand walks by hands that err: within two of its errors as often as normal errors are (95
 * %) but for a few, where the place on the other side of the top fits as well; and far surer than
 * the turns alone. */
static void it_is_as_sure_as_it_says(void **state)
{
    struct chance chance = {7};
    int within = 0, nearer = 0;
    enum { WALKS = 1000 };

    (void)state;
    for (int n = 0; n < WALKS; n++) {
        static const double turns[] = {0.45, 0.45, -1.0, 0.2};
        struct walk walk;
        struct walk_fit fit;
        struct mount mount = begin(&walk);
        double told = begun, off;
        read_level(&mount, &walk, chance_normal(&chance, 0.12));
        for (int i = 0; i < 4; i++) {
            double given = turns[i] * (1.0 + chance_normal(&chance, hand.share)) +
                           chance_normal(&chance, hand.step_deg);
            turn(&mount, &walk, turns[i], given);
            told += turns[i] - (i > 1 ? (turns[i] > 0.0 ? 1.0 : -1.0) * hand.play_deg : 0.0);
            if (i != 2) {
                read_level(&mount, &walk, chance_normal(&chance, 0.12));
            }
        }
        assert_int_equal(walk_fit(&walk, &dish, &fit), 0);
        off = fabs(fit.to_go_deg + mount.x);
        within += off < 1.96 * fit.to_go_error_deg;
        nearer += off < fabs(told - mount.x);
    }
    assert_in_range(within, 900, 970);
    assert_in_range(nearer, 800, WALKS);
}

static void too_little_is_no_data(void **state)
{
    struct walk_prior prior = dish;
    struct walk walk;
    struct walk_fit fit = {.peak = -1.0};

    (void)state;
    walk_begin(&walk);
    assert_int_equal(walk_fit(&walk, &prior, &fit), -ENODATA);
    walk_read(&walk, 13.0, 0.1);
    assert_int_equal(walk_fit(&walk, &prior, &fit), -ENODATA);
    assert_true(fit.peak == -1.0);
    /* with the top's level known one reading tells the distance; the prior tells the side */
    prior.peak = 14.0;
    prior.peak_error = 0.1;
    prior.centre_deg = 0.2;
    assert_int_equal(walk_fit(&walk, &prior, &fit), 0);
    expect_near(fit.to_go_deg, sqrt(1.0 / 12.0), 0.02);
    prior.peak = prior.fall = NAN;
    walk_turn(&walk, 0.3, &hand);
    walk_read(&walk, 13.5, 0.1);
    assert_int_equal(walk_fit(&walk, &prior, &fit), -ENODATA);
}

static void a_long_walk_forgets_its_beginning(void **state)
{
    struct walk walk;
    struct walk_fit fit;
    struct mount mount = begin(&walk);

    (void)state;
    for (int i = 0; i < 3 * WALK_STOPS; i++) {
        double deg = i % 4 < 2 ? 0.2 : -0.2;
        turn(&mount, &walk, deg, deg);
        read_level(&mount, &walk, 0.0);
    }
    assert_int_equal(walk.count, WALK_STOPS);
    assert_int_equal(walk_fit(&walk, &dish, &fit), 0);
    expect_near(fit.to_go_deg, -mount.x, 0.03);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_true_hand_is_followed_to_the_top),
        cmocka_unit_test(the_levels_tell_what_a_hand_really_gives),
        cmocka_unit_test(a_turn_twice_as_far_as_told_is_found_out),
        cmocka_unit_test(a_floor_in_the_skirt_does_not_mislead),
        cmocka_unit_test(a_clipped_top_is_found_between_its_flanks),
        cmocka_unit_test(an_unknown_scale_is_found_with_the_top),
        cmocka_unit_test(a_perfect_hand_has_the_error_of_theory),
        cmocka_unit_test(it_is_as_sure_as_it_says),
        cmocka_unit_test(too_little_is_no_data),
        cmocka_unit_test(a_long_walk_forgets_its_beginning),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
