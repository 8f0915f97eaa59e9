#include "base/stop.h"

#include <stddef.h>

static volatile sig_atomic_t requested;

static void on_stop(int signal_number)
{
    (void)signal_number;
    requested = 1;
}

void stop_catch(sigset_t *ret_while_waiting)
{
    static const int stops[] = {SIGINT, SIGTERM, SIGHUP};
    struct sigaction action = {.sa_handler = on_stop};
    sigset_t blocked;

    requested = 0;
    sigemptyset(&blocked);
    sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < sizeof stops / sizeof *stops; i++) {
        sigaction(stops[i], &action, NULL);
        sigaddset(&blocked, stops[i]);
    }
    signal(SIGPIPE, SIG_IGN);
    sigprocmask(SIG_BLOCK, &blocked, ret_while_waiting);
    for (size_t i = 0; i < sizeof stops / sizeof *stops; i++) {
        sigdelset(ret_while_waiting, stops[i]);
    }
}

bool stop_requested(void)
{
    return requested != 0;
}
