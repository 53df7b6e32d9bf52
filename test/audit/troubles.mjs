// Loaded into workers before their own code (NODE_OPTIONS): files whose names say so make trouble when they are opened, as
// damaged ones do to a decoder. They are opened once to be read, and a second time to be measured, in this worker or another.
import { execFileSync } from 'node:child_process';
import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import files from 'node:fs/promises';
import { syncBuiltinESMExports } from 'node:module';
import { setTimeout as sleep } from 'node:timers/promises';

const { open } = files;
const never = new Promise(() => {});

/** Keeps a thread of the pool inside the system, where nothing can be cancelled. */
function hang() {
  // Each worker has its own: two that hang at one moment would both make it.
  const pipe = `${process.env.TROUBLE_LOG}.${process.pid}.pipe`;
  if (!existsSync(pipe)) execFileSync('mkfifo', [pipe]);
  return open(pipe, 'r');
}

async function segfault() {
  process.kill(process.pid, 'SIGSEGV');
  await never;
}

const troubles = {
  CRASHREAD: segfault,
  CRASHMEASURE: (times) => times % 2 === 0 && segfault(),
  EXIT: () => process.exit(7),
  LATER: () => {
    setTimeout(() => {
      throw new TypeError('nobody waits for this');
    });
    return never;
  },
  MEMORY: () => {
    const kept = [];
    for (;;) kept.push({ at: kept.length });
  },
  HANGREAD: hang,
  HANGMEASURE: (times) => times % 2 === 0 && hang(),
  SLOW: () => sleep(2500),
  SOUND: () => {},
};

files.open = async (file, ...how) => {
  const name = Object.keys(troubles).find((each) => String(file).includes(each));
  if (name !== undefined && process.connected) {
    appendFileSync(process.env.TROUBLE_LOG, `${name} ${process.pid} ${process.env.MALLOC_TRIM_THRESHOLD_}\n`);
    const lines = readFileSync(process.env.TROUBLE_LOG, 'utf8').split('\n');
    await troubles[name](lines.filter((line) => line.startsWith(`${name} `)).length);
  }
  return open(file, ...how);
};
syncBuiltinESMExports();
