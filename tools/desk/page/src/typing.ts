// What arrow keys do to a typed value: a step of about five percent, 1, 2 or 5 in its first digit; of 1 at least where the key is
// a whole number; of one part where a part was taken (`of_part`, "5.12 kWh").
export function stepped(text: string, up: boolean, {whole = false, of_part = ''} = {}): string | null {
  const found = /^(-?\d+(?:\.\d+)?)(\s*[^\d].*)?$/.exec(text.trim());
  if (!found || /^\s*[/\d]|[,;]/.test(found[2] ?? '')) return null;
  const value = Number(found[1]);
  const part = /^(\d+(?:\.\d+)?)(.*)$/.exec(of_part.trim());
  if (part && part[2]!.trim() === (found[2] ?? '').trim()) {
    const next = value + (up ? 1 : -1) * Number(part[1]);
    return next > 0 ? `${Number(next.toPrecision(6))}${found[2] ?? ''}` : null;
  }
  const size = Math.max(Math.abs(value) * 0.05, 0.01), ten = 10 ** Math.floor(Math.log10(size));
  const step = Math.max(whole ? 1 : 0, [1, 2, 5, 10].map(n => n * ten).find(s => s >= size * 0.99)!);
  const next = up ? Math.floor(value / step + 1e-6) * step + step : Math.ceil(value / step - 1e-6) * step - step;
  return `${Number(next.toPrecision(6))}${found[2] ?? ''}`;
}
