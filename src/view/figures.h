/* figures.h - numbers as they are shown: levels, angles, turns, times. Pure; text is UTF-8. */
#ifndef VIEW_FIGURES_H
#define VIEW_FIGURES_H

#include <stddef.h>

#include "peaking/level.h"

enum { FIGURES_SIZE = 32 };

/* "12.3 dB"; "-" when it is not finite. The second: the number alone. */
void figures_level(char text[FIGURES_SIZE], double value, enum level_unit unit);
void figures_level_number(char text[FIGURES_SIZE], double value, enum level_unit unit);

/* "163.06°", always two decimals; "-" when it is not finite. */
void figures_degrees(char text[FIGURES_SIZE], double deg);

/* Turns of a bolt in eighths: "1 1/4", "3/8", "2", "<1/8"; "" when they are not finite. */
void figures_turns(char text[FIGURES_SIZE], double turns);

/* "1 1/4 turns", "3/8 turn", "1 turn"; "" when they are not finite. */
void figures_turns_worded(char text[FIGURES_SIZE], double turns);

/* A time since the start: "0:07", "12:41", "1:02:41". */
void figures_clock(char text[FIGURES_SIZE], double seconds);

/* How old something is: "0 s", "59 s", "2 min", "3 h"; "never" when it is not finite. */
void figures_age(char text[FIGURES_SIZE], double seconds);

#endif
