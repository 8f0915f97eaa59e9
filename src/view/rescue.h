/*
 * rescue.h - a crash must not leave a terminal that can't be read: the signals of a crash give it
 * back first, then do what they would have done.
 */
#ifndef VIEW_RESCUE_H
#define VIEW_RESCUE_H

#include <termios.h>

/*
 * After the terminal's description is loaded (newterm).
 *
 *   fd     the terminal
 *   found  its modes as they are to be restored
 */
void rescue_arm(int fd, const struct termios *found);
void rescue_disarm(void);

#endif
