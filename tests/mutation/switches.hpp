// One build holds all faults that tests/mutation/run draws; HOLDWATER_FAULT=N in the environment turns on
// fault N. The run puts a switch in place of each changed token. It has the same precedence and goes from
// left to right as well, so nothing else is read differently:
//   a * b           a * faults::at<7> * b          a / b if fault 7 is on
//   a && b          a && faults::first<7>() || faults::second<7>() && b
//                                                  a || b if fault 7 is on; b is only read if needed
//   std::min(a, b)  faults::least<7>(a, b)         std::max(a, b) if fault 7 is on
#pragma once

#include <algorithm>
#include <cstdlib>
#include <initializer_list>
#include <type_traits>
#include <utility>

namespace faults {

inline int const chosen = [] {
    char const* const number = std::getenv("HOLDWATER_FAULT");
    return number ? std::atoi(number) : 0;
}();

template <int N>
constexpr bool on() {
    return !std::is_constant_evaluated() && chosen == N;
}

template <int N>
struct Switch {};
template <int N>
inline constexpr Switch<N> at{};

// Exit code 77: what the fault would make of the line does not compile.
#define HOLDWATER_SWITCH(Left, op, wrong)                        \
    template <class A, int N>                                    \
    struct Left {                                                \
        A a;                                                     \
        template <class B>                                       \
        friend constexpr auto operator op(Left l, B&& b) {       \
            using Result = std::decay_t<decltype(l.a op b)>;     \
            if (on<N>()) {                                       \
                if constexpr (requires { Result(l.a wrong b); }) \
                    return Result(l.a wrong b);                  \
                else                                             \
                    std::_Exit(77);                              \
            }                                                    \
            return Result(l.a op b);                             \
        }                                                        \
    };                                                           \
    template <class A, int N>                                    \
    constexpr auto operator op(A&& a, Switch<N>)->Left<A&&, N> { \
        return {static_cast<A&&>(a)};                            \
    }
HOLDWATER_SWITCH(Plus, +, -)
HOLDWATER_SWITCH(Minus, -, +)
HOLDWATER_SWITCH(Times, *, /)
HOLDWATER_SWITCH(Over, /, *)
HOLDWATER_SWITCH(Less, <, >)
HOLDWATER_SWITCH(More, >, <)
HOLDWATER_SWITCH(AtMost, <=, >)
HOLDWATER_SWITCH(AtLeast, >=, <)
HOLDWATER_SWITCH(Equal, ==, !=)
#undef HOLDWATER_SWITCH

inline thread_local bool first_holds = false;
template <int N>
bool first() {  // called if the first holds
    first_holds = !on<N>();
    return on<N>();
}
template <int N>
bool second() {
    return std::exchange(first_holds, false) || on<N>();
}

template <int N, class T>
constexpr T const& least(T const& a, T const& b) {
    return on<N>() ? std::max(a, b) : std::min(a, b);
}
template <int N, class T>
constexpr T least(std::initializer_list<T> all) {
    return on<N>() ? std::max(all) : std::min(all);
}
template <int N, class T>
constexpr T const& most(T const& a, T const& b) {
    return on<N>() ? std::min(a, b) : std::max(a, b);
}
template <int N, class T>
constexpr T most(std::initializer_list<T> all) {
    return on<N>() ? std::min(all) : std::max(all);
}

}  // namespace faults
