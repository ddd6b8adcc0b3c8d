// Text without any type, for an e-mail or a page of somebody else's.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace trencher::paper {

inline constexpr std::size_t mail_columns = 72;  // what RFC 3676 advises, from memory

// Appends lines of at most mail_columns (a longer word stands alone), `first` before the first of
// them and `next` before the others.
void append_wrapped(std::string& out, std::string_view text, std::string_view first = {},
                    std::string_view next = {});

}  // namespace trencher::paper
