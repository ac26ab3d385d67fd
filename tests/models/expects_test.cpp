#ifndef HOLDWATER_EXPECTATIONS
#define HOLDWATER_EXPECTATIONS
#define _GLIBCXX_ASSERTIONS  // here only the header's own macro is tested; the dev build has both
#endif
#include "models/numeric/expects.hpp"

#include <doctest/doctest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <string>

TEST_SUITE_BEGIN("models/expects");

TEST_CASE("what must hold and does not ends the program with its words and place") {
    HOLDWATER_EXPECTS(1 + 1 == 2);
    std::array<int, 2> pipe_ends{};
    REQUIRE(::pipe(pipe_ends.data()) == 0);
    pid_t const child = ::fork();
    if (child == 0) {
        ::signal(SIGABRT, SIG_DFL);
        ::dup2(pipe_ends[1], STDERR_FILENO);
        HOLDWATER_EXPECTS(1 + 1 == 3);
        ::_exit(0);
    }
    ::close(pipe_ends[1]);
    int status = 0;
    ::waitpid(child, &status, 0);
    std::string said(1000, ' ');
    auto const length = ::read(pipe_ends[0], said.data(), said.size());
    ::close(pipe_ends[0]);
    REQUIRE(length > 0);
    said.resize(static_cast<std::size_t>(length));
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == SIGABRT);
    CHECK(said.find(": must hold: 1 + 1 == 3\n") != std::string::npos);
}

TEST_SUITE_END();
