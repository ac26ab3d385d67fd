import assert from 'node:assert/strict';
import {test} from 'node:test';
import {namedFiles, scenario_mark, scenarioInside, sorted} from './files';

const bytes = (text: string) => new TextEncoder().encode(text);

test('a scenario is found in a report and in a file to send', () => {
  assert.equal(scenarioInside('<p>x</p><details class="scenario"><summary>s</summary><pre dir="auto">a = &quot;1 &lt; 2 &amp;amp;&quot; # it&apos;s</pre></details>'), 'a = "1 < 2 &amp;" # it\'s');
  assert.equal(scenarioInside(`answer\n${scenario_mark}\ntitle = "x"\n`), 'title = "x"\n');
  assert.equal(scenarioInside('<p>nothing</p>'), null);
});
test('what a scenario names with a folder is found by its name', () => {
  const files = namedFiles('file = "weather/a.csv"\nother = "weather/b.csv"\n', {'a.csv': bytes('1')});
  assert.deepEqual(Object.keys(files), ['weather/a.csv']);
});
test('dropped files are designs, weather, or refused', () => {
  const {designs, weather, wrong} = sorted({'site.toml': bytes('file = "w/a.csv"'), 'a.csv': bytes('1'), '2001.epw': bytes('2'), 'page.html': bytes('<p>')});
  assert.deepEqual(designs.map(d => d.path), ['site.toml']);
  assert.ok('w/a.csv' in designs[0]!.files);
  assert.deepEqual(weather, ['2001.epw', 'a.csv']);
  assert.match(wrong, /page\.html/);
});
