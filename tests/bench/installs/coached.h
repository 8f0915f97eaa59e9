/* coached.h - one install in this process, as the program's own loop runs it: the simulated mount's
 * records through state and coach, the advice back to the simulated technician. */
#ifndef BENCH_COACHED_H
#define BENCH_COACHED_H

#include "outcome.h"

/*
 *   log_path   where its log is written; NULL = nowhere
 *   ret_steps  in the procedure's order
 *   returns    0 or -1 after complaining
 */
int coached_install(const struct install *install, const char *log_path, struct outcome *ret,
                    struct outcome_step ret_steps[PROCEDURE_STEPS]);

/* The same by one who works alone. */
int lone_install(const struct install *install, struct outcome *ret);

#endif
