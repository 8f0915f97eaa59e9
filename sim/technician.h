/*
 * technician.h - a simulated person at the mount who hears the coach's advice and does it, as well
 * as people do: late, by about so much, reading scales to their graduation. Pure but for the world
 * whose bolts it turns; simulated time only.
 */
#ifndef SIM_TECHNICIAN_H
#define SIM_TECHNICIAN_H

#include <stdbool.h>
#include <stdint.h>

#include "session/record.h"
#include "sim/random.h"
#include "sim/world.h"

enum technician_model {
    TECHNICIAN_CAREFUL, /* 10 % of hand error, keeps to the advised rate */
    TECHNICIAN_HASTY,   /* quick to react, turns too fast */
    TECHNICIAN_CLUMSY,  /* 20 %, late, now and then the wrong way first, misreads scales */
    TECHNICIAN_DEAF,    /* answers questions, but turns where it likes */
    TECHNICIAN_MODELS
};

struct technician_habit {
    const char *name;  /* "careful", "hasty", "clumsy", "deaf" */
    double hand_error; /* share of a turn, 1 sigma */
    double reaction_s; /* from hearing to doing */
    double haste;      /* times the usual rate */
    double slip;       /* probability that a turn starts the wrong way: it is told, once done */
    double twice;      /* that it goes twice as far as believed */
    double astray;     /* that it is the other bolt of azimuth and elevation */
    double reading;    /* what is read off a scale, in graduations */
};

/* Borrowed, lives forever. */
const struct technician_habit *technician_habit(enum technician_model model);

/* The model's name, and back. */
const char *technician_model_name(enum technician_model model);
bool technician_parse_model(const char *name, enum technician_model *ret_model);

/* What the hands are at. */
enum technician_doing {
    TECHNICIAN_IDLE,
    TECHNICIAN_TURNING,
    TECHNICIAN_WATCHING, /* has turned by a sensor, looks at what comes of it */
    TECHNICIAN_SPEAKING, /* about to say what was turned, or what the scale shows */
    TECHNICIAN_THINKING, /* about to answer */
    TECHNICIAN_TIGHTENING,
};

struct technician {
    enum technician_model model;
    struct sim_random random;
    struct advice advice; /* heard last */
    bool news;            /* it has not sunk in yet */
    double news_t;        /* when it will */
    bool adjust;          /* the distance has changed on the way */
    enum technician_doing doing;
    double next_t;        /* when the hands are to be looked after again */
    enum world_axis axis; /* in hand, as is believed */
    enum world_axis bolt; /* and really */
    double meant_deg;     /* turned and not yet told, as the hand believes */
    bool answers;         /* `done` when the hand has come to rest */
    double set_to;        /* what the scale is to show; NaN = the hand goes by a distance */
    bool closely;         /* that number, between the lines if need be */
    bool setting;         /* the scale is to be read, however little it moved */
    bool counts;          /* turned by the turns of a bolt */
    bool reads;           /* asked for what the scale shows, not for the turns */
    double last_read_deg[WORLD_AXES]; /* off the scales; NaN = not yet */
    int bolts;                        /* fastened so far */
    bool gave_up;                     /* there is nothing left that it could do */
};

/* seed  the same as the world's will do: it has a sequence of its own */
void technician_init(struct technician *technician, struct world *world,
                     enum technician_model model, uint64_t seed);

/* The coach has spoken at t. */
void technician_hear(struct technician *technician, double t, const struct advice *advice);

/* What a hand is told to bend the antenna with, as of world_rock(): pushed < 0 < pulled; 0 = it
 * lets go. */
double technician_force(const struct advice *advice);

/* When technician_act() has something to do; INFINITY = nothing until the coach speaks. */
double technician_next_t(const struct technician *technician);

/*
 * Do what is due at technician_next_t(); the world has been brought to that time.
 *
 *   returns  1 and what the technician says (a move, angles off a scale, a step that is done);
 *            0 = says nothing
 */
int technician_act(struct technician *technician, struct world *world, struct record *ret_said);

#endif
