/*
 * modcods.h - the modulations and codes of DVB-S2 and DVB-S2X: which one holds at a signal, with
 * what to spare, and what comes of it. Pure.
 *
 *   Source: ETSI EN 302 307-1 V1.4.1 Table 13 and EN 302 307-2 V1.1.1 clause 6: frames of 64 800
 *   bits, no pilots, ideal demodulation in white noise, quasi-error-free.
 */
#ifndef RADIO_MODCODS_H
#define RADIO_MODCODS_H

#include <stdbool.h>
#include <stddef.h>

enum modcods_standard { MODCODS_S2, MODCODS_S2X /* those of S2, and its own */ };

struct modcod {
    const char *name;       /* "8PSK 2/3"; "-L" = meant for linear channels */
    double bits_per_symbol; /* useful bits, no pilots */
    double threshold_db;    /* ideal Es/N0 */
    bool s2x;
};

enum { MODCODS_COUNT = 67 };
extern const struct modcod modcods[MODCODS_COUNT];

struct modcods_choice {
    const struct modcod *best;  /* carries the most; NULL = none holds */
    double spare_db;            /* what may be lost before it falls; NaN = none holds */
    const struct modcod *below; /* the one to fall back to then; NULL = the link is gone */
    const struct modcod *above; /* the next one that carries more; NULL = there is none */
    double missing_db;          /* what it lacks; NaN = there is none */
};

/*
 *   esn0_db    in a bandwidth equal to the symbol rate
 *   margin_db  to be kept beyond the ideal: the receiver's own imperfection and what the operator
 *              wants in reserve; 0 = an ideal receiver
 */
struct modcods_choice modcods_choose(enum modcods_standard standard, double esn0_db,
                                     double margin_db);

/*
 * What a lost tenth of a dB costs a link that changes its modulation with the weather, in bits per
 * symbol: a single tenth costs nothing or a whole step, so the mean over the first dB is taken.
 *
 *   returns  >= 0; NaN when none holds at esn0_db
 */
double modcods_tenth_bits(enum modcods_standard standard, double esn0_db, double margin_db);

/* The one of a name, as "8PSK 2/3" in any case, or NULL. */
const struct modcod *modcods_find(const char *name);

/* Mbit/s of the base band without pilots; what a speed test shows is less by the headers. */
double modcods_rate_mbps(const struct modcod *modcod, double symbol_rate_mbd);

#endif
