// An element with its properties and children; texts are never read as HTML.
export function element(name, properties = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(properties)) {
    if (key.startsWith('on')) made.addEventListener(key.slice(2), value);
    else if (key in made && key !== 'list') made[key] = value;
    else made.setAttribute(key, value);
  }
  made.append(...children.filter(c => c !== null && c !== undefined));
  return made;
}

export const at = id => document.getElementById(id);

export function download(name, text, type) {
  const url = URL.createObjectURL(new Blob([text], {type}));
  element('a', {href: url, download: name}).click();
  setTimeout(() => URL.revokeObjectURL(url), 60000);
}

export const fileName = path => path.slice(path.lastIndexOf('/') + 1);
