// A sheet written in a test, moved to the left as far as its lines allow.

export function stripIndent(text: string): string {
  const lines = text.replace(/^\n/u, '').trimEnd().split('\n');
  const indents = lines
    .filter((line) => line.trim() !== '')
    .map((line) => /^ */u.exec(line)![0].length);
  const indent = Math.min(...indents);
  return `${lines.map((line) => line.slice(indent)).join('\n')}\n`;
}
