#pragma once

#include <exception>
#include <string>

namespace holdwater::test {

/// The message of the exception that a call throws; "was accepted" if it throws none. An exception of another
/// kind passes.
template <class Error = std::exception, class Call>
std::string message_of(Call const& call) {
    try {
        call();
    } catch (Error const& error) {
        return error.what();
    }
    return "was accepted";
}

}  // namespace holdwater::test
