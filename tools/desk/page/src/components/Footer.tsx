// What the page is, the cautions, and the licenses of what is in its script.
import {useState} from 'preact/hooks';
import {partOf} from '../packed';
import {texts} from '../texts';

export function Footer({version}: {version: string}) {
  const [open, setOpen] = useState(false);
  return <footer class="note">
    {texts.footer(version).map(words => <p>{words}</p>)}
    <details class="folded" onToggle={e => setOpen(e.currentTarget.open)}><summary>{texts.licenses}</summary>{open && <pre>{partOf('notices')}</pre>}</details>
  </footer>;
}
