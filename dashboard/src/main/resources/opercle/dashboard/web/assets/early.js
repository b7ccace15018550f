// SPDX-License-Identifier: Apache-2.0
// Runs before the first paint, so that a dark bedroom is never lit by a white flash.
(() => {
  const device = matchMedia('(prefers-color-scheme: dark)');
  const chosen = () => {
    try {
      return localStorage.getItem('opercle-light');
    } catch {
      return null; // storage is switched off: follow the device
    }
  };
  const set = () => {
    document.documentElement.dataset.light = chosen() ?? (device.matches ? 'night' : 'day');
  };
  set();
  device.addEventListener('change', set);
})();
