/* The simulated person at the antenna's edge: pushes and pulls as it is told. */
#include "technician_stage.h"

static struct advice rock(enum axis axis, enum advice_move move)
{
    struct advice advice = stay(move, UNTIL_DWELL, "Firmly, and hold.");

    advice.axis = axis;
    return advice;
}

/* By how much an axis is bent, of what a firm hand bends it. */
static double bent(const struct scene *scene, enum world_axis axis)
{
    return scene->world->mount.axes[axis].rocked_deg /
           world_scenario(scene->world)->mount.axes[axis].rock_deg;
}

static void an_edge_is_held_until_something_else_is_said(void **state)
{
    const struct {
        struct advice advice;
        double azimuth, elevation;
    } rows[] = {
        {rock(AXIS_AZIMUTH, ADVICE_PUSH), -1.0, 0.0},
        {rock(AXIS_AZIMUTH, ADVICE_PULL), 1.0, 0.0},
        {rock(AXIS_ELEVATION, ADVICE_PUSH), 0.0, -1.0},
        {stay(ADVICE_HOLD, UNTIL_DWELL, "Hands off."), 0.0, 0.0},
        {rock(AXIS_ELEVATION, ADVICE_PULL), 0.0, 1.0},
        {turn(AXIS_AZIMUTH, ADVICE_RIGHT, 2.0, NAN), 0.0, 0.0},
    };
    struct scene scene = begin(TECHNICIAN_CAREFUL, 3);
    struct record said;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        hear(&scene, rows[i].advice);
        for (int time = 0; time < 2; time++) {
            /* there is nothing to say of it, and nobody tires of it */
            assert_false(listen(&scene, scene.t + 4.0 + 40.0 * time, &said));
            /* a tenth of hand error, cut at two of them */
            expect_near(bent(&scene, WORLD_AZIMUTH), rows[i].azimuth,
                        0.2 * fabs(rows[i].azimuth) + 1e-4);
            expect_near(bent(&scene, WORLD_ELEVATION), rows[i].elevation,
                        0.2 * fabs(rows[i].elevation) + 1e-4);
        }
    }
    world_destroy(scene.world);
}

/* As turns do: the clumsy one in 15 of a hundred. */
static void who_turns_the_wrong_way_pushes_the_wrong_way(void **state)
{
    const int n = 300;
    int wrong[2] = {0, 0};

    (void)state;
    for (int i = 0; i < n; i++) {
        static const enum technician_model models[] = {TECHNICIAN_CAREFUL, TECHNICIAN_CLUMSY};
        for (int m = 0; m < 2; m++) {
            struct scene scene = begin(models[m], (uint64_t)i);
            struct record said;
            hear(&scene, rock(AXIS_AZIMUTH, ADVICE_PUSH));
            listen(&scene, 3.0, &said);
            wrong[m] += bent(&scene, WORLD_AZIMUTH) > 0.0;
            world_destroy(scene.world);
        }
    }
    assert_int_equal(wrong[0], 0);
    expect_near((double)wrong[1] / n, 0.15, 4.0 * sqrt(0.15 * 0.85 / n));
}

static void a_hand_pushes_as_hard_as_it_is_told(void **unused)
{
    static const struct {
        enum advice_move move;
        const char *say;
        double force;
    } rows[] = {
        {ADVICE_PUSH, "Push the right edge away from you, firmly, and hold.", -1.0},
        {ADVICE_PULL, "Pull the right edge towards you, just as firmly, and hold.", 1.0},
        {ADVICE_PULL, "Pull the right edge towards you, twice as hard, and hold.", 2.0},
        {ADVICE_HOLD, "Hands off, reading the level.", 0.0},
    };

    (void)unused;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct advice advice = stay(rows[i].move, UNTIL_DWELL, rows[i].say);
        expect_near(technician_force(&advice), rows[i].force, 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_edge_is_held_until_something_else_is_said),
        cmocka_unit_test(who_turns_the_wrong_way_pushes_the_wrong_way),
        cmocka_unit_test(a_hand_pushes_as_hard_as_it_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
