/* Whatever the file: a procedure is read whole or refused; what is read builds it again. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "coach/procedure.h"
#include "job/ini_file.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static struct procedure procedure, again;

static int take_key(void *self, int line, const char *section, const char *key, const char *value,
                    char why[INI_FILE_WHY])
{
    (void)line;
    return procedure_set(self, section, key, value, why, INI_FILE_WHY);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char why[INI_FILE_WHY];
    int sound;

    procedure_init(&procedure, "fuzz");
    if (ini_file_read_text("fuzz", (const char *)data, size, take_key, &procedure, why) < 0) {
        if (strncmp(why, "fuzz:", 5) != 0 || !text_is_clean(why)) {
            abort();
        }
        return 0;
    }
    procedure_init(&again, "fuzz");
    for (size_t i = 0; i < procedure.setting_count; i++) {
        if (procedure_set(&again, procedure.settings[i].section, procedure.settings[i].key,
                          procedure.settings[i].value, why, sizeof why) < 0) {
            abort();
        }
    }
    sound = procedure_check(&procedure, NULL, why, sizeof why);
    if (again.step_count != procedure.step_count || !text_is_clean(why) ||
        procedure_check(&again, NULL, why, sizeof why) != sound ||
        (sound < 0) != (why[0] != '\0')) {
        abort();
    }
    return 0;
}
