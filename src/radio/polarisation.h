/* polarisation.h - the kinds of polarisation and their names. Pure. */
#ifndef RADIO_POLARISATION_H
#define RADIO_POLARISATION_H

#include <stdbool.h>

enum polarisation { POLARISATION_V, POLARISATION_H, POLARISATION_CIRCULAR, POLARISATION_COUNT };

/* "V", "H", "circular". */
const char *polarisation_name(enum polarisation polarisation);

/* Accepts V, H, vertical, horizontal, circular, L, R, LHCP, RHCP, any case. False: none of them. */
bool polarisation_parse(const char *text, enum polarisation *ret_polarisation);

#endif
