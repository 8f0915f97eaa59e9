/* What bends the mount for a while: the wind, and a hand on its bolts. */
#include "expect.h"

#include "make_world.h"

static void the_wind_sways_it_by_its_size_and_the_truth_stands_still(void **state)
{
    struct world *world = make_world(QUIET "[mount elevation]\nstart = 30\nread = sensor\n"
                                           "[weather]\nsway = 0.1\nsway_time = 1\n",
                                     5);
    struct world_event event;
    double sum = 0.0, square = 0.0;
    int n = 0;

    (void)state;
    while (n < 20000 && world_next_event(world, 1e9, &event)) {
        if (event.kind == WORLD_ANGLES) {
            double off = event.deg[WORLD_ELEVATION] - 30.0;
            sum += off;
            square += off * off;
            n++;
        }
    }
    /* standard deviation and mean of an Ornstein-Uhlenbeck process; 4000 s are some 2000 of its
     * correlation times: four standard errors */
    expect_near(sqrt(square / n), 0.1, 4.0 * 0.1 / sqrt(2.0 * 2000.0));
    expect_near(sum / n, 0.0, 4.0 * 0.1 / sqrt(2000.0));
    expect_near(world_truth(world).pointing_deg[WORLD_ELEVATION], 30.0, 1e-9);
    world_destroy(world);
}

static void a_hand_on_the_bolt_bends_it_until_it_lets_go(void **state)
{
    struct world *world = make_world(QUIET "[mount elevation]\nstart = 30\nread = sensor\n"
                                           "press = 0.2\n",
                                     5);
    struct world_event event;
    double turning = NAN, at_rest = NAN;

    (void)state;
    world_turn(world, WORLD_ELEVATION, 2.0, 1.0);
    while (world_next_event(world, 6.0, &event)) {
        if (event.kind == WORLD_ANGLES) {
            turning = event.t < 1.81 ? event.deg[WORLD_ELEVATION] - 30.0 - event.t : turning;
            at_rest = event.deg[WORLD_ELEVATION] - 30.0;
        }
    }
    expect_near(turning, 0.2, 0.02); /* after twelve times 0.15 s nothing is left to bend */
    expect_near(at_rest, 2.0, 1e-3);
    world_destroy(world);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_wind_sways_it_by_its_size_and_the_truth_stands_still),
        cmocka_unit_test(a_hand_on_the_bolt_bends_it_until_it_lets_go),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
