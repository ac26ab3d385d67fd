#include "sim/year/outage_record.hpp"

#include <algorithm>
#include <cmath>

#include "sim/water/water_side.hpp"

namespace holdwater::sim {

std::vector<OutageRecord> outage_records(models::OutageList const& outages, Clock const& clock,
                                         std::vector<HourRecord> const& hours) {
    std::vector<OutageRecord> records;
    double const first_h = clock.first_hour, last_h = first_h + static_cast<double>(hours.size());
    std::size_t counted = 0;  // hours before this one have been counted for an outage already
    for (auto const& o : outages) {
        if (!(o.end_h > o.start_h) || o.end_h <= first_h || o.start_h >= last_h) continue;
        OutageRecord r;
        r.start_h = o.start_h;
        r.length_h = o.end_h - o.start_h;
        auto const begin = static_cast<std::size_t>(std::max(std::floor(o.start_h) - first_h, 0.0)),
                   end = static_cast<std::size_t>(std::min(std::ceil(o.end_h), last_h) - first_h);
        r.soc_at_start = hours[begin > 0 ? begin - 1 : 0].battery_soc;
        bool going_on = false;  // hours without demand do not end a shortage
        for (std::size_t i = begin; i < hours.size() && (i < end || going_on); ++i) {
            HourRecord const& h = hours[i];
            bool const dry = h.water_short_m3 > some_water_m3;
            going_on = dry || (going_on && !(h.water_demand_m3 > 0));
            if (i < end) r.soc_min = std::min(r.soc_min, h.battery_soc);
            if (!dry || i < counted) continue;
            if (r.shortage_hours == 0) r.first_short_h = first_h + static_cast<double>(i);
            r.shortage_hours += 1;
            r.water_short_m3 += h.water_short_m3;
            counted = i + 1;
        }
        records.push_back(r);
    }
    return records;
}

std::vector<OutageField> const& outage_fields() {
    using O = OutageRecord;
    static std::vector<OutageField> const fields{
        {"start_h", "h", "when the grid failed, hours since 00:00 on 1 January", &O::start_h},
        {"length_h", "h", "how long it was away", &O::length_h},
        {"water_short_m3", "m3",
         "demand not delivered, from the outage's first hour to the end of the shortage", &O::water_short_m3},
        {"shortage_hours", "h", "hours short of water among them", &O::shortage_hours},
        {"first_short_h", "h", "the first of those, hours since 00:00 on 1 January; -1: none",
         &O::first_short_h},
        {"soc_min", "1", "lowest state of charge at an hour's end in the outage", &O::soc_min},
        {"soc_at_start", "1", "state of charge at the end of the hour before the outage", &O::soc_at_start},
    };
    return fields;
}

}  // namespace holdwater::sim
