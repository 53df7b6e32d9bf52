import { Argument, type Command } from 'commander';
import { completionScript, shells, type Shell } from '../completion.ts';
import { exitStatus } from '../exitStatus.ts';
import type { CommandLine } from '../flags.ts';

export function addCommand(program: Command, { end }: CommandLine, everything: () => Promise<Command>): void {
  program
    .command('completion')
    .description('print what lets a shell complete commands and options at the Tab key')
    .addArgument(new Argument('<shell>', 'the shell that you use').choices(shells))
    .addHelpText(
      'after',
      `
A line for the file that your shell reads when it starts:
  bash  ~/.bashrc                   eval "$(halfturn completion bash)"
  zsh   ~/.zshrc, behind compinit   eval "$(halfturn completion zsh)"
  fish  ~/.config/fish/config.fish  halfturn completion fish | source`,
    )
    .action(async (shell: Shell) => {
      process.stdout.write(completionScript(shell, await everything()));
      end(exitStatus.finished);
    });
}
