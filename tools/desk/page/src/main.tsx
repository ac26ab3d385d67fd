import {render} from 'preact';
import {start} from './actions';
import {App} from './components/App';

const root = document.getElementById('app')!;
render(<App version={root.dataset.version!} />, root);
void start();
// A page that was put on a web server can be installed and works offline (holdwater desk --site).
if (/^https?:$/.test(location.protocol) && document.querySelector('meta[name="holdwater-site"]') && 'serviceWorker' in navigator) {
  const link = document.createElement('link');
  link.rel = 'manifest';
  link.href = 'manifest.webmanifest';
  document.head.append(link);
  void navigator.serviceWorker.register('service-worker.js');
}
