/* What bends the mount for a while: the wind, and a hand on its bolts. */
#include "expect.h"

#include "make_world.h"
#include "sim/world_inside.h"

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

static void pass(struct mount *mount, double seconds)
{
    for (int i = 0; i < (int)(seconds / 0.01); i++) {
        mount_step(mount, 0.01);
    }
}

/* Where it points as it is, and where it will once nobody holds it. */
static void find_both(const struct mount *mount, double ret_now[WORLD_AXES],
                      double ret_stands[WORLD_AXES])
{
    struct globe_attitude now = mount_attitude_bent(mount), stands = mount_attitude(mount);

    world_find_pointing(&now, ret_now);
    world_find_pointing(&stands, ret_stands);
}

static void an_edge_that_is_held_bends_one_axis_and_springs_back(void **state)
{
    static const struct {
        enum world_axis axis;
        double deg;
    } rows[] = {{WORLD_AZIMUTH, 0.3}, {WORLD_AZIMUTH, -0.2}, {WORLD_ELEVATION, -0.3}};
    struct world *world =
        make_world(QUIET "[mount azimuth]\nstart = 160\n[mount elevation]\nstart = 30\n", 5);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct mount mount;
        double now[WORLD_AXES], stands[WORLD_AXES];
        mount_init(&mount, world_scenario(world));
        for (int hand = 1; hand >= 0; hand--) {
            mount_rock(&mount, rows[i].axis, hand * rows[i].deg);
            pass(&mount, 2.0);
            find_both(&mount, now, stands);
            for (int axis = 0; axis < WORLD_AXES; axis++) {
                double held = axis == (int)rows[i].axis ? hand * rows[i].deg : 0.0;
                double begun = axis == WORLD_AZIMUTH ? 160.0 : axis == WORLD_ELEVATION ? 30.0 : 0.0;
                expect_near(stands[axis], begun, 1e-9);
                /* after thirteen times 0.15 s nothing is left to bend */
                expect_near(now[axis], begun + held, 1e-5);
            }
        }
    }
    world_destroy(world);
}

/* On its target, in a beam 2 degrees wide: as it would turned aside by 0.15 of that. */
static void the_level_falls_while_an_edge_is_held(void **state)
{
    struct world *world = make_world(QUIET "[mount elevation]\nstart = 30\nrock = 0.3\n", 5);
    struct world_truth truth = world_truth(world);

    (void)state;
    point(world, truth.target_deg[WORLD_AZIMUTH], truth.target_deg[WORLD_ELEVATION],
          truth.target_deg[WORLD_SKEW]);
    assert_true(next_level(world) > world_level_beside_db(world, 0.0, 0.15) + 0.2);
    for (int way = -1; way <= 1; way++) {
        world_rock(world, WORLD_ELEVATION, way);
        run_to(world, world_now(world) + 2.0);
        expect_near(next_level(world), world_level_beside_db(world, 0.0, 0.15 * way), 2e-3);
        expect_near(world_truth(world).loss_db, 0.0, 1e-3);
        world_rock(world, WORLD_ELEVATION, 0);
        run_to(world, world_now(world) + 2.0);
    }
    world_destroy(world);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_wind_sways_it_by_its_size_and_the_truth_stands_still),
        cmocka_unit_test(a_hand_on_the_bolt_bends_it_until_it_lets_go),
        cmocka_unit_test(an_edge_that_is_held_bends_one_axis_and_springs_back),
        cmocka_unit_test(the_level_falls_while_an_edge_is_held),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
