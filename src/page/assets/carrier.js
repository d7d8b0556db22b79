// The way to the program that served this page: HTTP.

export const ask = (address, options) => fetch(address, { cache: "no-store", ...options });

// Under which address a browser opens what the program keeps at `address`.
export const opened = async (address) => address;

// What brings a program back that does not answer.
export const remedy = () =>
  `Start it again at this address (heartside serve --port ${location.port}), and the page goes on by itself.`;

export const drawingAddress = (name) => `drawings.svg#${name}`;
