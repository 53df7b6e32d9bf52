import type { Excerpt, Step } from './steps.ts';

const HEAD = `# A season

Ten small flights over an invented stretch of sea, made and flown by \`npm run tour\`: an empty home folder, the commands
of the README, and what they printed. Before each flight the pilot runs \`halfturn plan\`; from the second on, the flight
begins with what it picks. What is fitted later in a flight is the story's choice. One filter is weaker than its label,
once a filter stays in its case, one card is audited twice, and one copy is interrupted. \`…\` stands for lines left out
here; the tour prints them all.
`;

/** The tour as a page in Markdown, so short that it is read in five minutes. */
export function tourPage(steps: readonly Step[]): string {
  const texts = steps.filter((step) => !('shown' in step && step.shown.length === 0));
  return `${HEAD}\n${texts.map((step) => stepText(step, 'short')).join('\n')}`;
}

export function stepText(step: Step, length: 'short' | 'whole'): string {
  if ('heading' in step) return `## ${step.heading}\n`;
  if ('say' in step) return `${step.say}\n`;
  if ('file' in step) return fenced([step.file, '', ...step.text.trimEnd().split('\n')]);
  if ('table' in step) return table(step.table);
  const lines = step.output.trimEnd().split('\n');
  const shown = length === 'whole' ? lines : excerpt(lines, step.shown);
  const ended = step.status === 0 ? [] : [`exit status ${step.status}`];
  return fenced([`$ halfturn ${step.command}`, ...shown, ...ended]);
}

function excerpt(lines: readonly string[], wanted: readonly Excerpt[]): readonly string[] {
  const shown = new Set<number>();
  for (const { from, lines: most } of wanted) {
    const at = lines.findIndex((line) => from.test(line));
    for (let line = at; at >= 0 && line < Math.min(lines.length, at + most); line++) shown.add(line);
  }
  const kept = [...shown].sort((a, b) => a - b);
  const texts = kept.flatMap((line, at) => [
    ...(at > 0 && line > kept[at - 1]! + 1 ? ['…'] : []),
    lines[line]!,
  ]);
  return kept.at(-1) === lines.length - 1 ? texts : [...texts, '…'];
}

function fenced(lines: readonly string[]): string {
  return ['```', ...lines, '```', ''].join('\n');
}

function table([head = [], ...rows]: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line), ''].join('\n');
}
