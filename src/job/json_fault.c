#include "job/json_fault.h"

#include "base/text.h"
#include "base/tongue.h"

static const char *words_of(enum json_error_code code)
{
    switch (code) {
    case json_error_out_of_memory:
        return _("out of memory");
    case json_error_stack_overflow:
        return _("it is nested too deeply");
    case json_error_invalid_utf8:
        return _("bytes that are no UTF-8 text");
    case json_error_premature_end_of_input:
        return _("it ends too early");
    case json_error_end_of_input_expected:
        return _("something stands behind its end");
    case json_error_null_character:
    case json_error_null_byte_in_key:
        return _("there is a NUL in it");
    case json_error_duplicate_key:
        return _("a key is given twice");
    case json_error_numeric_overflow:
        return _("a number is too large");
    default:
        return _("something else should stand here");
    }
}

const char *json_fault_say(const json_error_t *error, char ret_phrase[JSON_FAULT_SIZE])
{
    ret_phrase[0] = '\0';
    text_append(ret_phrase, JSON_FAULT_SIZE, _("%s (column %d)"), words_of(json_error_code(error)),
                error->column);
    return ret_phrase;
}
