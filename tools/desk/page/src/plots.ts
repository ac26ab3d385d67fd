// The plot library as a script of its own, which the page runs when it draws its first plot (plot_library.ts).
import {BarChart, CustomChart, HeatmapChart, LineChart} from 'echarts/charts';
import {DataZoomComponent, GridComponent, MarkAreaComponent, MarkLineComponent, TooltipComponent} from 'echarts/components';
import {init, use} from 'echarts/core';
import {LabelLayout} from 'echarts/features';
import {SVGRenderer} from 'echarts/renderers';

use([BarChart, CustomChart, HeatmapChart, LineChart, DataZoomComponent, GridComponent, MarkAreaComponent, MarkLineComponent, TooltipComponent, LabelLayout, SVGRenderer]);
(globalThis as {holdwaterPlots?: typeof init}).holdwaterPlots = init;
