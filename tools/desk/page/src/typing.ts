// What arrow keys do to a typed value: a step of about five percent, 1, 2 or 5 in its first digit.
export function stepped(text: string, up: boolean): string | null {
  const found = /^(-?\d+(?:\.\d+)?)(\s*[^\d].*)?$/.exec(text.trim());
  if (!found || /^\s*[/\d]|[,;]/.test(found[2] ?? '')) return null;
  const value = Number(found[1]);
  const size = Math.max(Math.abs(value) * 0.05, 0.01), ten = 10 ** Math.floor(Math.log10(size));
  const step = [1, 2, 5, 10].map(n => n * ten).find(s => s >= size * 0.99)!;
  const next = up ? Math.floor(value / step + 1e-6) * step + step : Math.ceil(value / step - 1e-6) * step - step;
  return `${Number(next.toPrecision(6))}${found[2] ?? ''}`;
}
