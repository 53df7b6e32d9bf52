import { z } from 'zod';
import { formatPercent } from '../domain/format.ts';
import { finding, noLimit } from './finding.ts';

export const blackFrame = finding({
  kind: 'black-frame',
  data: z.object({ shape: z.enum(['bars', 'circle']), pictureFraction: z.number() }),
  topic: 'picture',
  title: 'picture in a black frame',
  check: ({ measurement }) => {
    const area = measurement?.pictureArea;
    return area && { weight: 'low', shape: area.shape, pictureFraction: area.fraction };
  },
  sentence: ({ shape, pictureFraction }) =>
    `${shape === 'bars' ? 'The picture stands between black bars and' : 'The picture is a circle in black and'} takes up ` +
    `${formatPercent(pictureFraction)} of the frame. Brightness, highlights and shadows are judged inside of it.`,
  remedy: () => ({}),
  meaning:
    'Black bars or the black around the circle of a fisheye lens are no shadows. What is said of brightness, highlights and ' +
    'shadows, and each share of the picture, is about the picture inside.',
  limit: { at: noLimit, reason: 'what frames a picture was not exposed', source: 'none is needed' },
  example: { weight: 'low', shape: 'bars', pictureFraction: 0.744 },
});
