import assert from 'node:assert/strict';
import {test} from 'node:test';
import {renderToString} from 'preact-render-to-string';
import * as state from '../state';
import {texts} from '../texts';
import type {Check} from '../types';
import {ChecksView} from './ChecksView';
import {CloudinessView} from './CloudinessView';
import {DecidesView} from './DecidesView';
import {OptionsView} from './OptionsView';
import {ReportView} from './ReportView';
import {SizesView} from './SizesView';
import {StudyView} from './StudyView';
import {TextView} from './TextView';
import {VaryView} from './VaryView';
import {WorstView} from './WorstView';
import {YearView} from './YearView';

// A browser keeps what is typed; node does not.
(globalThis as {localStorage?: object}).localStorage = {getItem: () => null, setItem() {}, removeItem() {}};
state.design.value = {path: 'a/site.toml', text: 'title = "x" # a comment\n', files: {}, weather: []};

test('each view asks its question in its title', () => {
  const titles: [() => preact.JSX.Element, string][] = [[WorstView, texts.worst.title], [CloudinessView, texts.cloudiness.title], [DecidesView, texts.decides.title],
    [SizesView, texts.sizes.title], [YearView, texts.year.title], [ChecksView, texts.checks.title], [OptionsView, texts.compare.title], [VaryView, texts.vary.title], [ReportView, texts.report.title]];
  for (const [View, title] of titles) {
    assert.ok(title.endsWith('?'), title);
    assert.ok(renderToString(<View />).includes(`<h3>${title}</h3>`), title);
  }
});
test('a study that is begun by hand has its button, and says nothing before', () => {
  const html = renderToString(<StudyView<string> byHand title="t" show={s => s} />);
  assert.match(html, /id="run-study"/);
  assert.match(html, /class="progress"><\/span>/);
});
test('a check has its verdict as sign and word, what is accepted its reason', () => {
  const check = (verdict: Check['verdict'], waived: string | null) => ({check: 'x', title: 'Cable drop', group: 'Cables', verdict, margin: 1, value_text: '3 %', limit_text: '5 %', detail: '', change: '', source: 'common practice', provenance: '', waived}) as Check;
  state.checks.value = {checks: [check('PASS', null), check('FAIL', 'measured on site')], notes: ['a note']};
  const html = renderToString(<ChecksView />);
  assert.match(html, /✓.*PASS/);
  assert.match(html, /✕.*FAIL, accepted: measured on site/);
  assert.match(html, /a note/);
  state.checks.value = null;
});
test('the text view has the file with its comments', () => assert.match(renderToString(<TextView />), /title = &quot;x&quot; # a comment/));
test('sizes are varied only where the design states them so', () => {
  assert.ok(renderToString(<SizesView />).includes(texts.sizes.cannot));
  state.keys.value = ['array.rated_power', 'battery.capacity'].map(key => ({key, entry: '', value: '', shown: '5 kWh', note: ''}));
  assert.ok(!renderToString(<SizesView />).includes(texts.sizes.cannot));
  state.keys.value = [];
});
