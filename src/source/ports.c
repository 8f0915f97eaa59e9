#include "source/ports.h"

#include <errno.h>
#include <libserialport.h>
#include <string.h>

#include "base/text.h"

static void copy_safe(char *dst, size_t size, const char *src)
{
    text_sanitize(dst, size, src ? src : "", src ? strlen(src) : 0);
}

int ports_list(struct ports_entry *ret_ports, int most)
{
    struct sp_port **ports = NULL;
    enum sp_return r = sp_list_ports(&ports);
    int n = 0;

    if (r != SP_OK) {
        return r == SP_ERR_MEM ? -ENOMEM : -ENOSYS;
    }
    for (; n < most && ports[n]; n++) {
        struct ports_entry *entry = &ret_ports[n];
        copy_safe(entry->device, sizeof entry->device, sp_get_port_name(ports[n]));
        copy_safe(entry->description, sizeof entry->description, sp_get_port_description(ports[n]));
    }
    sp_free_port_list(ports);
    return n;
}
