/* isolation.h - what a wrong skew costs: isolation between polarisations, and level. Pure. */
#ifndef RADIO_ISOLATION_H
#define RADIO_ISOLATION_H

/*
 * Isolation between two linear polarisations at right angles with the skew wrong by an error:
 * -10 log (tan^2 error + 10^(-xpd / 10)).
 *
 *   xpd_db   the antenna's own cross-polar discrimination; INFINITY = perfect
 *   returns  dB; 0 or less from 45 degrees on
 *   Source: geometry; a wave's field turned by d has cos d and sin d along the ports. The
 *   antenna's own part is added in power, as its phase is not known.
 */
double isolation_db(double error_deg, double xpd_db);

/* Largest error that leaves an isolation; NaN where the antenna itself does not reach it. */
double isolation_allowed_error_deg(double wanted_db, double xpd_db);

/* Loss of the wanted level: -20 log cos error, dB >= 0. */
double isolation_copolar_loss_db(double error_deg);

#endif
