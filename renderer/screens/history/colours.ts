// The theme's colours as a canvas takes them: the tokens use light-dark(), which only an element resolves.

const TOKENS = {
  ink: '--ink',
  soft: '--ink-soft',
  hairline: '--hairline',
  sheet: '--sheet',
  brass: '--brass',
  wash: '--brass-wash',
  clean: '--clean',
  missed: '--missed',
  timber: '--timber',
} as const;

export type Colours = Readonly<Record<keyof typeof TOKENS, string>>;

/** The colours of the theme as they are in this element now. */
export function coloursIn(host: HTMLElement): Colours {
  const probe = host.appendChild(document.createElement('span'));
  const entries = Object.entries(TOKENS).map(([name, token]) => {
    probe.style.color = `var(${token})`;
    return [name, getComputedStyle(probe).color];
  });
  probe.remove();
  return Object.fromEntries(entries) as Colours;
}

/** Calls `changed` whenever the look changes; returns the function that stops. */
export function onLookChange(changed: () => void): () => void {
  const watch = new MutationObserver(changed);
  watch.observe(document.documentElement, { attributeFilter: ['data-theme', 'style', 'class'] });
  const dark = matchMedia('(prefers-color-scheme: dark)');
  dark.addEventListener('change', changed);
  return () => {
    watch.disconnect();
    dark.removeEventListener('change', changed);
  };
}
