// What the pages use of the vendored chart library and of the figures the builder writes for it.

declare namespace Plotly {
  /** A line or a text of a layout; the name is its class in the still picture. */
  interface Part {
    name?: string;
    text?: string;
    x?: number;
    x0?: number;
    x1?: number;
  }

  interface Layout {
    xaxis: { domain?: [number, number] };
    yaxis: object;
    height: number;
    width?: number;
    shapes: Part[];
    annotations: Part[];
  }

  interface Trace {
    mode?: string;
    x?: (number | null)[];
    /** How what it says is shown. */
    hovertemplate: string;
    /** What each dot says on hovering. */
    customdata: string[];
  }

  interface Figure {
    data: Trace[];
    layout: Layout;
  }

  interface Dot {
    curveNumber: number;
    pointNumber: number;
  }

  interface Library {
    react(place: HTMLElement, data: Trace[], layout: Layout, config: object): Promise<Drawn>;
    restyle(place: HTMLElement, changes: Record<string, unknown[]>, traces: number[]): Promise<unknown>;
    Fx: {
      hover(place: Drawn, dots: Dot[]): void;
      unhover(place: Drawn): void;
    };
  }

  /** An element once a figure is drawn in it. */
  interface Drawn extends HTMLElement {
    on(event: "plotly_hover", act: (event: { points: Dot[] }) => void): void;
    on(event: "plotly_unhover", act: () => void): void;
  }
}

interface Window {
  Plotly?: Plotly.Library;
}
