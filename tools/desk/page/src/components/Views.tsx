// One view at a time, chosen by a row of buttons.
import {version, view, type View} from '../state';
import {texts} from '../texts';
import {ChecksView} from '../views/ChecksView';
import {CloudinessView} from '../views/CloudinessView';
import {DecidesView} from '../views/DecidesView';
import {OptionsView} from '../views/OptionsView';
import {ReportView} from '../views/ReportView';
import {SizesView} from '../views/SizesView';
import {TextView} from '../views/TextView';
import {VaryView} from '../views/VaryView';
import {WorstView} from '../views/WorstView';
import {YearView} from '../views/YearView';

const views: Record<View, () => preact.JSX.Element> = {worst: WorstView, cloudiness: CloudinessView, decides: DecidesView, sizes: SizesView, year: YearView,
  checks: ChecksView, options: OptionsView, vary: VaryView, report: ReportView, text: TextView};

export function Views() {
  const Shown = views[view.value];
  return <section id="views" aria-label={texts.views}>
    <nav class="tools" aria-label={texts.views}>{(Object.keys(views) as View[]).map(name =>
      <button type="button" data-view={name} aria-pressed={view.value === name} onClick={() => { view.value = name; }}>{texts.view[name]}</button>)}</nav>
    <div id="view" data-version={version.value}><Shown key={view.value} /></div>
  </section>;
}
