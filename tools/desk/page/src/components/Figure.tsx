// One of the six figures: its value, what it is, its definition, and for a moment whether it got better or worse.
import {useId} from 'preact/hooks';
import {texts} from '../texts';

export interface FigureProps {
  name: string;
  help: string;
  value: string;
  detail?: string;
  change?: 'better' | 'worse' | undefined;
}

export function Figure({name, help, value, detail = '', change}: FigureProps) {
  const id = useId();
  return <div class="figure" tabIndex={0} aria-describedby={id} role="group" aria-label={`${name}: ${value} ${detail}`.trim()}>
    <span class="value">{value}</span>
    <span class="what">{name}{detail && `: ${detail}`}{change && <strong class={change}> {texts[change]}</strong>}</span>
    <span class="help" id={id} role="tooltip">{help}</span>
  </div>;
}
