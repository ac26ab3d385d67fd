#pragma once

#include <string>

#include "sim/designs/what_ifs.hpp"
#include "tools/report/report_show.hpp"

namespace holdwater::tools {

/// What was changed and to which ends, "+25 %"; empty for an end that was not tried.
struct WhatIfWords {
    std::string name, low, high;
};
WhatIfWords what_if_words(sim::WhatIf const& what_if, ReportShow const& show);

}  // namespace holdwater::tools
