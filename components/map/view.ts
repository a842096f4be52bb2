/** How a picture lies on the screen: screen = content x scale + offset. Content is a photograph's px, or a map's mm. */
export type View = { scale: number; x: number; y: number }
export type Size = { width: number; height: number }
export type ScreenPoint = { x: number; y: number }

/** How much nearer than the whole picture one can go. */
const nearest = 40

export function toScreen(view: View, point: ScreenPoint): ScreenPoint {
  return { x: point.x * view.scale + view.x, y: point.y * view.scale + view.y }
}

export function toContent(view: View, point: ScreenPoint): ScreenPoint {
  return { x: (point.x - view.x) / view.scale, y: (point.y - view.y) / view.scale }
}

/** The whole content in the middle of the frame. */
export function wholeView(content: Size, frame: Size): View {
  const scale = Math.min(frame.width / content.width, frame.height / content.height)
  return { scale, x: (frame.width - content.width * scale) / 2, y: (frame.height - content.height * scale) / 2 }
}

/** One part of the content, with a margin in content units, as large as the frame allows. */
export function partView(part: { x: number; y: number } & Size, margin: number, frame: Size): View {
  const width = part.width + 2 * margin
  const height = part.height + 2 * margin
  const scale = Math.min(frame.width / width, frame.height / height)
  const middle = { x: part.x + part.width / 2, y: part.y + part.height / 2 }
  return { scale, x: frame.width / 2 - middle.x * scale, y: frame.height / 2 - middle.y * scale }
}

/** Nearer (`factor` over 1) or further about a point that stays where it is. */
export function zoomAt(view: View, at: ScreenPoint, factor: number, content: Size, frame: Size): View {
  const whole = wholeView(content, frame).scale
  const scale = Math.min(whole * nearest, Math.max(whole, view.scale * factor))
  const ratio = scale / view.scale
  return kept({ scale, x: at.x - (at.x - view.x) * ratio, y: at.y - (at.y - view.y) * ratio }, content, frame)
}

export function panned(view: View, right: number, down: number, content: Size, frame: Size): View {
  return kept({ ...view, x: view.x + right, y: view.y + down }, content, frame)
}

/** Two fingers move, turn nothing, and bring nearer. */
export function pinched(
  view: View,
  before: [ScreenPoint, ScreenPoint],
  after: [ScreenPoint, ScreenPoint],
  content: Size,
  frame: Size,
): View {
  const factor = distance(after) / Math.max(1, distance(before))
  const from = middle(before)
  const to = middle(after)
  const moved = { ...view, x: view.x + to.x - from.x, y: view.y + to.y - from.y }
  return zoomAt(moved, to, factor, content, frame)
}

/** Keeps the content in the frame: in its middle where it is smaller, without a gap where it is larger. */
function kept(view: View, content: Size, frame: Size): View {
  const place = (offset: number, inside: number, room: number) =>
    inside <= room ? (room - inside) / 2 : Math.min(0, Math.max(room - inside, offset))
  return {
    scale: view.scale,
    x: place(view.x, content.width * view.scale, frame.width),
    y: place(view.y, content.height * view.scale, frame.height),
  }
}

function distance([one, other]: [ScreenPoint, ScreenPoint]): number {
  return Math.hypot(one.x - other.x, one.y - other.y)
}

function middle([one, other]: [ScreenPoint, ScreenPoint]): ScreenPoint {
  return { x: (one.x + other.x) / 2, y: (one.y + other.y) / 2 }
}
