/* known.h - not known is NaN: what is taken then. Pure. */
#ifndef BASE_KNOWN_H
#define BASE_KNOWN_H

#include <math.h>

/* The value where it is finite, else the other. */
static inline double known_or(double value, double otherwise)
{
    return isfinite(value) ? value : otherwise;
}

#endif
