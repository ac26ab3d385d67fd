// The design that is open, and what was before and after it: the one place that holds the page's state.
const most_kept = 200;
const store = 'holdwater-desk';

export function openDesign() {
  let now = null, past = [], future = [];
  const keep = () => {
    try {
      localStorage.setItem(store, JSON.stringify(now));
      return '';
    } catch {
      return 'This browser keeps nothing for this page: save the scenario before you close it.';
    }
  };
  return {
    get now() { return now; },
    canUndo: () => past.length > 0,
    canRedo: () => future.length > 0,
    // {path, text, files: {path: text} of what was opened with it, weather: [paths]}; `fresh` forgets what was before.
    // Returns a warning, or ''.
    set(next, fresh = false) {
      if (fresh) past = [];
      else if (now) past = [...past, now].slice(-most_kept);
      future = [];
      now = next;
      return keep();
    },
    undo() {
      if (past.length === 0) return;
      future.push(now);
      now = past.pop();
      keep();
    },
    redo() {
      if (future.length === 0) return;
      past.push(now);
      now = future.pop();
      keep();
    },
    // The design of the last visit, or null.
    kept() {
      try {
        return JSON.parse(localStorage.getItem(store));
      } catch {
        return null;
      }
    },
  };
}
