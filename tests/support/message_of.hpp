#pragma once

#include <exception>
#include <string>

namespace holdwater::test {

/// The message of the exception that a call throws; "was accepted" if it throws none.
template <class Call>
std::string message_of(Call const& call) {
    try {
        call();
    } catch (std::exception const& error) {
        return error.what();
    }
    return "was accepted";
}

}  // namespace holdwater::test
