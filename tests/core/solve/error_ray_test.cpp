#include "core/solve/error_ray.h"

#include "core/roll/green_speed.h"
#include "core/solve/aim_uncertainty.h"
#include "core/solve/polish.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;

TEST_CASE("the errors carried along a ray are those of the single putts from its nodes") {
    const ErrorModel error{0.0006, 0.5, 0.002, 3.0};
    const auto surface = test::wavy(5);
    const Outline green = test::wide_green();
    double worst_survey = 0, worst_speed = 0;
    for (double past : {0.3, 0.0}) {
        const ErrorRayTask task{surface, {0.5, 0.2}, 10, past, error, error_ray_lengths(error, 9), green.box()};
        for (double parameter : {0.3, 2.0, 4.4}) {
            const ErrorRay ray = trace_error_ray(task, parameter);
            REQUIRE(ray.nodes.size() > 20);
            for (std::size_t k : {ray.nodes.size() / 3, ray.nodes.size() - 1}) {
                const ErrorNode& node = ray.nodes[k];
                const SurfaceJet jet = surface.jet(node.p.x, node.p.y);
                AngleErrors errors;
                REQUIRE(angle_errors(node, jet, errors));

                // The launch of that place, exact, and on a green a little slower and quicker at the same pace.
                const auto launch_at = [&](double ft) {
                    const PuttGround ground{surface, green, node.p, task.hole, level_deceleration(ft), speed_at_hole(past, ft)};
                    return polish_forward(ground, {std::atan2(node.v.y, node.v.x), surface_speed(jet, node.v)}, 1e-10);
                };
                const auto launch = launch_at(10), slow = launch_at(9.98), quick = launch_at(10.02);
                REQUIRE((launch && slow && quick));
                CHECK(std::abs(launch->angle - std::atan2(node.v.y, node.v.x)) < 1e-4);
                const PuttGround ground{surface, green, node.p, task.hole, level_deceleration(10), speed_at_hole(past, 10)};
                // Long enough for any of these putts: it ends where the ball is at the hole, or slower than 10 mm/s.
                const RollPath path = roll(surface, green, node.p, {std::cos(launch->angle), std::sin(launch->angle)}, launch->speed, 10, {task.hole, true});
                REQUIRE(path.pass);
                const double survey = direction_se(ground, *launch, path.pass->t, error);
                const double by_speed = (quick->angle - slow->angle) / 0.04;
                worst_survey = std::max(worst_survey, std::abs(errors.survey_se / survey - 1));
                worst_speed = std::max(worst_speed, std::abs(errors.by_green_speed - by_speed));
            }
        }
    }
    std::printf("error rays: survey within %.2f %%, green speed within %.1e rad a foot\n", 100 * worst_survey, worst_speed);
    CHECK(worst_survey < 0.02);
    CHECK(worst_speed < 5e-5);
}

TEST_CASE("lengths along a ray rise, begin close to the hole and stay under a quarter of the shorter correlation") {
    const auto lengths = error_ray_lengths({0.001, 0.4, 0.002, 3}, 10);
    CHECK(lengths.front() < 0.05);
    CHECK(lengths.back() < 10);
    CHECK(lengths.back() > 9.8);
    for (std::size_t k = 1; k < lengths.size(); ++k) {
        CHECK(lengths[k] > lengths[k - 1]);
        CHECK(lengths[k] - lengths[k - 1] <= 0.1 + 1e-12);
    }
}
