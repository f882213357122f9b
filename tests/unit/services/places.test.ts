// Where things stand and where they may lead: the data directory per system, browsers, view files.
import { describe, expect, it } from 'vitest';
import { hasDisplay } from '../../../app/browser-host/open-browser.ts';
import {
  CONTENT_POLICY,
  EAR_POLICY,
  headersOf,
} from '../../../app/services/machine/content-policy.ts';
import { usualDataDirectory } from '../../../app/services/machine/data-directory.ts';
import { viewFile } from '../../../app/services/machine/view-files.ts';
import { needsUnix } from '../../support/needs.ts';

describe('the usual data directory', () => {
  // Linux: XDG Base Directory Specification, $XDG_DATA_HOME, default ~/.local/share.
  it.each([
    ['linux', {}, '/home/o/.local/share/rungwise/practice'],
    ['linux', { XDG_DATA_HOME: '/d' }, '/d/rungwise/practice'],
    ['darwin', {}, '/home/o/Library/Application Support/Rungwise/practice'],
    ['win32', { APPDATA: '/a' }, '/a/Rungwise/practice'],
  ] as const)('on %s with %j is %s', needsUnix, (platform, env, directory) => {
    expect(usualDataDirectory({ platform, home: '/home/o', env })).toBe(directory);
  });
});

describe('a browser is opened', () => {
  it.each([
    ['linux', {}, false],
    ['linux', { DISPLAY: ':0' }, true],
    ['linux', { WAYLAND_DISPLAY: 'wayland-0' }, true],
    ['darwin', {}, true],
    ['win32', {}, true],
  ] as const)('on %s with %j: %s', (platform, env, expected) => {
    expect(hasDisplay(platform, env)).toBe(expected);
  });
});

describe('view files', () => {
  it.each([
    ['/', '/view/index.html'],
    ['/assets/a%20b.js', '/view/assets/a b.js'],
    ['/a/../b.css', '/view/b.css'],
  ])('%s is %s', (pathname, file) => {
    expect(viewFile('/view', pathname)?.path).toBe(file);
  });

  it.each(['/../x.js', '/%2e%2e%2fx.js', '/..\\x.js', '/%00.js', '/%E0%A4%A', '/x.exe', '/x'])(
    '%s is none',
    (pathname) => {
      expect(viewFile('/view', pathname)).toBeUndefined();
    },
  );
});

describe('the content policy', () => {
  it('allows no script from text, no foreign source and no framing', () => {
    expect(CONTENT_POLICY).toContain("default-src 'none'");
    expect(CONTENT_POLICY).toContain("script-src 'self';");
    expect(CONTENT_POLICY).toContain("frame-ancestors 'none'");
    expect(CONTENT_POLICY).not.toMatch(/unsafe-eval|https?:|\*/);
  });

  it('lets the ear’s thread compile WebAssembly, and nobody else', () => {
    const policyOf = (name: string) =>
      headersOf(viewFile('/view', `/assets/${name}`)!)['content-security-policy'];
    expect(policyOf('analysis.worker-C0ffee_1.js')).toBe(EAR_POLICY);
    expect(EAR_POLICY).toContain("script-src 'self' 'wasm-unsafe-eval';");
    expect(EAR_POLICY).not.toMatch(/'unsafe-eval'|https?:|\*/);
    for (const other of [
      'index.html',
      'main-abc.js',
      'x-analysis.worker.js',
      'analysis.worker.html',
    ])
      expect(policyOf(other)).toBe(CONTENT_POLICY);
  });
});

describe('what a browser keeps', () => {
  // Names of the build carry a digest; RFC 8246: what is `immutable` is not asked for again.
  it.each([
    ['/assets/first-C0ffee_1.js', true],
    ['/assets/first-C0ffee_1.css', true],
    ['/', false],
    ['/index.html', false],
    ['/notices.json', false],
    ['/assets/../notices.json', false],
    ['/assets-of-others/a.js', false],
    // A thread's policy comes with its file.
    ['/assets/analysis.worker-C0ffee_1.js', false],
    ['/assets/file-worker-C0ffee_1.js', false],
  ])('%s without asking again: %s', (pathname, keeps) => {
    const kept = headersOf(viewFile('/view', pathname)!)['cache-control'];
    expect(kept).toBe(keeps ? 'private, max-age=31536000, immutable' : 'no-cache');
  });
});
