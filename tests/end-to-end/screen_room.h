/* screen_room.h - a terminal, and a directory of its own for the log of what runs in it. */
#ifndef TESTS_SCREEN_ROOM_H
#define TESTS_SCREEN_ROOM_H

#include "tty.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct screen_room {
    struct tty tty;
    char directory[64], log[80];
};

static inline int screen_room_set_up(void **ret_room)
{
    struct screen_room *room = calloc(1, sizeof *room);

    strcpy(room->directory, "/tmp/peakward-screen-XXXXXX");
    assert_non_null(mkdtemp(room->directory));
    snprintf(room->log, sizeof room->log, "%s/log", room->directory);
    *ret_room = room;
    return 0;
}

static inline int screen_room_tear_down(void **state)
{
    struct screen_room *room = *state;

    tty_finish(&room->tty);
    unlink(room->log);
    rmdir(room->directory);
    free(room);
    return 0;
}

#endif
