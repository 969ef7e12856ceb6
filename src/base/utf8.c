#include "base/utf8.h"

size_t utf8_decode(const char *at, size_t left, uint32_t *code)
{
    const unsigned char *byte = (const unsigned char *)at;
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    size_t length = byte[0] < 0x80             ? 1
                    : (byte[0] & 0xE0) == 0xC0 ? 2
                    : (byte[0] & 0xF0) == 0xE0 ? 3
                    : (byte[0] & 0xF8) == 0xF0 ? 4
                                               : 0;
    if (!length || length > left)
        return 0;
    uint32_t value = length == 1 ? byte[0] : byte[0] & (0xFFu >> (length + 1));
    for (size_t i = 1; i < length; i++) {
        if ((byte[i] & 0xC0) != 0x80)
            return 0;
        value = value << 6 | (byte[i] & 0x3Fu);
    }
    bool surrogate = value >= 0xD800 && value <= 0xDFFF;
    if (value < least[length] || value > 0x10FFFF || surrogate)
        return 0;
    *code = value;
    return length;
}

size_t utf8_count(const char *text)
{
    size_t count = 0;
    for (; *text; text++)
        count += ((unsigned char)*text & 0xC0) != 0x80;
    return count;
}

bool utf8_is_control(uint32_t code)
{
    return code < 0x20 || (code >= 0x7F && code < 0xA0) ||
           (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}
