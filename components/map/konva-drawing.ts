'use client'
/**
 * How canvases are drawn again: after each change that React makes. Left to itself, konva does not draw a layer from which a node was taken
 * away, and what is gone would stay on the screen.
 */
import Konva from 'konva'

Konva.autoDrawEnabled = false
