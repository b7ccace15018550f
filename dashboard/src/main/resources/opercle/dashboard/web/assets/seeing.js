// SPDX-License-Identifier: Apache-2.0
// A password that is typed once must be able to be looked at: what was mistyped locks its owner out.

import { el, say } from './dom.js';

/** A button that shows what stands in a field, and hides it again. */
export function seeing(input, label) {
  const button = el('button', { 'type': 'button', 'class': 'seeing', 'aria-pressed': 'false', 'aria-label': `Show: ${label}` }, 'Show');
  button.addEventListener('click', () => {
    const hidden = input.type === 'password';
    input.type = hidden ? 'text' : 'password';
    button.setAttribute('aria-pressed', String(hidden));
    say(button, hidden ? 'Hide' : 'Show');
  });
  return button;
}
