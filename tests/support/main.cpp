#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "tests/support/near.hpp"

namespace {

using holdwater::test::NearRecord;

// With HOLDWATER_CHECKS=FILE in the environment: writes a line for each test case that compares numbers, with
// the number of comparisons and the one nearest to its tolerance (tests/published/record makes the page of
// checks from these lines).
class CheckRecorder final : public doctest::IReporter {
  public:
    explicit CheckRecorder(doctest::ContextOptions const&) {
        if (char const* path = std::getenv("HOLDWATER_CHECKS")) file_ = std::fopen(path, "a");
        // Test programs may run at the same time, so whole lines are written at once.
        if (file_ != nullptr) std::setvbuf(file_, nullptr, _IOLBF, BUFSIZ);
    }
    ~CheckRecorder() override {
        if (file_ != nullptr) std::fclose(file_);
    }
    void test_case_start(doctest::TestCaseData const& data) override {
        if (file_ == nullptr) return;
        test_ = &data;
        records_.clear();
        holdwater::test::near_records = &records_;
    }
    void test_case_end(doctest::CurrentTestCaseStats const&) override {
        holdwater::test::near_records = nullptr;
        if (file_ == nullptr || records_.empty()) return;
        NearRecord const* worst = &records_.front();
        for (auto const& r : records_)
            if (used(r) > used(*worst)) worst = &r;
        std::fprintf(file_, "%s\t%s\t%zu\t%.6g\t%.2g\t%.2g\n", test_->m_test_suite, test_->m_name,
                     records_.size(), worst->expected, std::abs(worst->found - worst->expected),
                     worst->tolerance);
    }
    void test_case_reenter(doctest::TestCaseData const&) override {}
    void report_query(doctest::QueryData const&) override {}
    void test_run_start() override {}
    void test_run_end(doctest::TestRunStats const&) override {}
    void test_case_exception(doctest::TestCaseException const&) override {}
    void subcase_start(doctest::SubcaseSignature const&) override {}
    void subcase_end() override {}
    void log_assert(doctest::AssertData const&) override {}
    void log_message(doctest::MessageData const&) override {}
    void test_case_skipped(doctest::TestCaseData const&) override {}

  private:
    // How much of its tolerance a comparison uses; an exact one that holds uses none.
    static double used(NearRecord const& r) {
        double const error = std::abs(r.found - r.expected);
        return error == 0 ? 0 : error / r.tolerance;
    }
    std::FILE* file_ = nullptr;
    doctest::TestCaseData const* test_ = nullptr;
    std::vector<NearRecord> records_;
};

REGISTER_LISTENER("checks", 1, CheckRecorder);

}  // namespace
