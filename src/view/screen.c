/* screen.c - the curses screen. */
#include <errno.h>

#include "base/text.h"
#include "view/face.h"

static int screen_open(void **ret_self, char why[RECORD_TEXT_SIZE])
{
    *ret_self = NULL;
    text_copy(why, RECORD_TEXT_SIZE, "it is not part of this build");
    return -ENOTSUP;
}

const struct face_ops face_screen = {.name = "screen", .open = screen_open};
