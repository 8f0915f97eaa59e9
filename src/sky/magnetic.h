/* magnetic.h - the earth's main magnetic field from World Magnetic Model coefficients. Pure. */
#ifndef SKY_MAGNETIC_H
#define SKY_MAGNETIC_H

#include <stdbool.h>

#define MAGNETIC_DEGREE 12

struct magnetic_model {
    double epoch;      /* decimal year */
    double valid_from; /* decimal year of release: usable from here ... */
    double valid_to;   /* ... up to here: epoch + 5 */
    char name[24];     /* "WMM-2025" */
    /* Schmidt semi-normalised Gauss coefficients [n][m] in nT and nT per year */
    double g[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
    double h[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
    double g_rate[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
    double h_rate[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
};

struct magnetic_field {
    double north_nt, east_nt, down_nt; /* X, Y, Z */
    double horizontal_nt, total_nt;    /* H, F */
    double declination_deg;            /* east positive; NaN at a magnetic pole (H = 0) */
    double inclination_deg;            /* down positive */
    double declination_error_deg;      /* 1 sigma, the model's published error model; up to 180 */
    bool weak;                         /* H < 6000 nT: the compass is unreliable here */
    bool blackout;                     /* H < 2000 nT: the compass is of no use here */
    bool in_date;                      /* the year is within the model's validity */
};

/*
 * Read a .COF text: a header line (epoch, name, release date), lines of n m g h dg dh, ended by
 * lines of nines; read by fields, not by columns.
 *
 *   returns  0; -EINVAL and *ret_line (1-based; 0 = no line at all) of the first bad line, model
 *            untouched. A coefficient twice, too few of them or a missing end is bad, too.
 */
int magnetic_parse(const char *text, struct magnetic_model *ret_model, int *ret_line);

/* The model that comes with the program: WMM2025. */
void magnetic_builtin(struct magnetic_model *ret_model);

/* The model at one time, made once so that any place is cheap: for many sites in a row. */
struct magnetic_moment {
    double g[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1], h[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
    /* factors of the Legendre functions' recursion, the same at any place */
    double step[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
    double back[MAGNETIC_DEGREE + 1][MAGNETIC_DEGREE + 1];
    double diagonal[MAGNETIC_DEGREE + 1];
    bool in_date;
};

void magnetic_moment_make(const struct magnetic_model *model, double year,
                          struct magnetic_moment *ret);

/* As magnetic_at(), at the moment's time. */
struct magnetic_field magnetic_moment_at(const struct magnetic_moment *moment, double lat_deg,
                                         double lon_deg, double height_m);

/*
 * The field at a place and time.
 *
 *   lat_deg, lon_deg  geodetic WGS84; height_m above the ellipsoid
 *   year              decimal year, as utc_decimal_year() gives it
 *   returns           the field; outside the model's years still computed, in_date false. At a
 *                     pole of the earth's axis north is along the meridian of lon_deg. NaN, weak
 *                     and not in date for input that is not finite.
 *   Accuracy: the main field only. Rock, steel and magnetic storms come on top: the error says
 *   what they do on average, not beside a steel mast.
 */
struct magnetic_field magnetic_at(const struct magnetic_model *model, double lat_deg,
                                  double lon_deg, double height_m, double year);

#endif
