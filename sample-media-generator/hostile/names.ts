import { spawnSync } from 'node:child_process';
import { mkdirSync, symlinkSync } from 'node:fs';
import { latin1 } from '../carriers/bytes.ts';
import type { Expected, HostileMaker } from './cases.ts';
import { fileCase } from './files.ts';

// Names that a program could take for an option, a number, a protocol, a pattern, a control code or a formula.

const oddlyNamedClips: readonly (readonly [name: string, what: string])[] = [
  ['-version.mp4', 'a good clip whose name starts like an option'],
  ['-dash.mp4', 'a good clip whose name starts with a dash'],
  ['123.mp4', 'a good clip whose name is a number'],
  ['pipe:0.mp4', 'a good clip whose name starts with the protocol of pipes'],
  ['http:/127.0.0.1:8099/clip.mp4', 'a good clip in folders that spell an address'],
  ['C:clip.mp4', 'a good clip whose name starts like a drive'],
  ['DSC:0001.mp4', 'a good clip with a colon in its name'],
  ['concat:a|b.mp4', 'a good clip whose name spells a joining protocol'],
  ['line\nbreak.mp4', 'a good clip with a line break in its name'],
  ['\u202Egpj.4pm.mp4', 'a good clip whose name turns the direction of writing'],
  ['end\u0085\u2028next.mp4', 'a good clip with uncommon line ends in its name'],
];

const oddlyNamedStills: readonly (readonly [name: string | Buffer, what: string])[] = [
  ['a%03d.jpg', 'a good still whose name is a pattern for picture sequences'],
  ['%d.jpg', 'a good still whose name is nothing but a pattern'],
  ['esc\u001B[31m\u001B]0;x\u0007.jpg', 'a good still with terminal codes in its name'],
  [Buffer.concat([latin1('raw\xff\xfe\xc0\x80'), latin1('.jpg')]), 'a good still whose name is not UTF-8'],
  ['=1+1.jpg', 'a good still whose name is a formula'],
  ['@sum(a1).jpg', 'a good still whose name is a call in a table'],
  ['+1.jpg', 'a good still whose name is a signed number'],
  ['\tindented.jpg', 'a good still whose name starts with a tab'],
  ['<img src=x onerror=alert(1)>.jpg', 'a good still whose name is a piece of a page'],
  [`quote"'\`$(id);&.jpg`, 'a good still whose name is made for a shell'],
  ['CON.jpg', 'a good still with the name of a device'],
  ['__proto__.jpg', 'a good still with the name of a prototype'],
  ['*.jpg', 'a good still whose name matches every other'],
];

/** Good bytes under names without an ending that says what they are. */
const endless: readonly string[] = ['-version', '123', 'pipe:0', 'trailing.jpg.'];

const playlists: readonly (readonly [name: string, what: string, text: string])[] = [
  ['LIST0001.mp4', 'an HLS list named as a clip', '#EXTM3U\n#EXTINF:2,\nGOOD0003.MP4\n#EXT-X-ENDLIST\n'],
  ['LIST0002.mp4', 'a list of files to join, named as a clip', "ffconcat version 1.0\nfile 'GOOD0003.MP4'\n"],
  [
    'LIST0003.mp4',
    'a session description named as a clip',
    'v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nt=0 0\nm=video 5004 RTP/AVP 96\n',
  ],
  [
    'LIST0004.mp4',
    'a DASH description named as a clip',
    '<?xml version="1.0"?><MPD xmlns="urn:mpeg:dash:schema:mpd:2011"><Period><BaseURL>http://127.0.0.1:8099/' +
      '</BaseURL></Period></MPD>',
  ],
  ['LIST0005.jpg', 'an HLS list named as a still', '#EXTM3U\n#EXTINF:2,\nhttp://127.0.0.1:8099/a.ts\n'],
  [
    'LIST0006.jpg',
    'a vector drawing named as a still',
    '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><image href="file:///etc/hostname"/></svg>',
  ],
];

/** What is not a regular file; each is made by the system's own means. */
function special(
  at: string,
  what: string,
  make: (path: Buffer) => void,
  expect: Expected = 'problem',
): HostileMaker {
  return { at, what, kind: /mp4$/i.test(at) ? 'clip' : 'still', expect, make };
}

const link = (target: string) => (path: Buffer) => symlinkSync(target, path);

function makePipe(path: Buffer): void {
  succeed('mkfifo', ['--', path.toString()]);
}

/** A server that dies without closing leaves its socket behind. */
function makeSocket(path: Buffer): void {
  const name = path.toString();
  const slash = name.lastIndexOf('/');
  const script =
    'require("net").createServer().listen(process.argv[1],()=>process.kill(process.pid,"SIGKILL"))';
  // A socket's path holds about a hundred bytes, so it is named from inside its folder.
  spawnSync(process.execPath, ['-e', script, name.slice(slash + 1)], {
    cwd: name.slice(0, slash),
    timeout: 5000,
  });
}

export function succeed(program: string, options: readonly string[], folder?: string): void {
  const { status, stderr, error } = spawnSync(program, options, folder === undefined ? {} : { cwd: folder });
  if (status !== 0) throw new Error(`${program} failed: ${error?.message ?? stderr.toString()}`);
}

function linkedFolders(path: Buffer): void {
  const folder = path.toString();
  mkdirSync(folder);
  symlinkSync('..', `${folder}/up`);
  symlinkSync('.', `${folder}/here`);
}

export const nameCases: readonly HostileMaker[] = [
  ...oddlyNamedClips.map(([at, what]) =>
    fileCase({ at, what, kind: 'clip', expect: 'audited' }, ({ clip }) => clip),
  ),
  ...oddlyNamedStills.map(([at, what]) =>
    fileCase({ at, what, kind: 'still', expect: 'audited' }, ({ still }) => still),
  ),
  ...endless.map((at) =>
    fileCase(
      { at, what: 'a good clip without an ending', kind: 'clip', expect: 'aside' },
      ({ clip }) => clip,
    ),
  ),
  ...playlists.map(([at, what, text]) =>
    fileCase({ at, what, kind: at.endsWith('jpg') ? 'still' : 'clip', expect: 'problem' }, () => text),
  ),
  special('PIPE0001.JPG', 'a named pipe: opening it waits forever', makePipe),
  special('PIPE0002.MP4', 'a named pipe named as a clip', makePipe),
  special('SOCK0001.JPG', 'a socket', makeSocket),
  special('LINK0001.MP4', 'a link to a good clip', link('GOOD0003.MP4')),
  special('LINK0002.JPG', 'a link to itself', link('LINK0002.JPG')),
  special('LINK0003.JPG', 'a link to bytes without end', link('/dev/zero')),
  special('LINK0004.JPG', 'a link out of the card', link('/etc/hostname')),
  special('LINK0005.MP4', 'a link to nothing', link('absent.mp4')),
  {
    at: 'LINK0006',
    what: 'a folder with links to itself and to its parent',
    kind: 'tree',
    expect: 'any',
    make: linkedFolders,
  },
];
