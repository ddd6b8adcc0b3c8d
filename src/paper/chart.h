// The chart of a batch record: temperature, humidity and cure over one time axis, with the coats.
#pragma once

#include "paper/document.h"
#include "paper/phrases.h"
#include "paper/record.h"

namespace trencher::paper {

// Height that the chart takes at that width, mm: more labels of steps take more rows.
double chart_height(const Document& document, const ChartContent& chart, const Words& words,
                    double width);

// Draws it from `top_left`. Values guessed are dashed on grey, so that black and white shows them.
// Error request: an axis of no length, what lies outside it, or a label wider than the chart.
void draw_chart(Document& document, const ChartContent& chart, const Words& words, Point top_left,
                double width);

}  // namespace trencher::paper
