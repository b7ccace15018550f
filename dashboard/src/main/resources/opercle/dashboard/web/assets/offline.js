// SPDX-License-Identifier: Apache-2.0
// The page of a server that cannot be reached: when it last was, and whether it is back.
(() => {
  const EVERY = 5000;
  const kept = (key) => {
    try {
      return localStorage.getItem(`opercle-${key}`);
    } catch {
      return null; // storage is switched off
    }
  };
  const last = () => Number(kept('reached'));
  const ago = (minutes) => {
    if (minutes < 1) {
      return 'less than a minute ago';
    }
    if (minutes < 120) {
      return minutes === 1 ? '1 minute ago' : `${minutes} minutes ago`;
    }
    return `${Math.floor(minutes / 60)} hours ago`;
  };
  const draw = () => {
    if (last() > 0) {
      const when = new Date(last()).toLocaleString('en-GB', {
        weekday: 'short', day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit', timeZone: kept('zone') ?? undefined });
      const minutes = Math.floor((Date.now() - last()) / 60_000);
      document.getElementById('reached').textContent = `Last reached ${ago(minutes)} (${when}).`;
    }
  };
  const tryAgain = async () => {
    try {
      await fetch('/assets/mark.svg?back', { cache: 'no-store' });
      location.reload();
    } catch {
      draw();
    }
  };
  document.getElementById('again').addEventListener('click', tryAgain);
  addEventListener('online', tryAgain);
  setInterval(tryAgain, EVERY);
  draw();
})();
