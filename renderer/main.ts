// Starts the view: theme, everything the rooms share, then the shell with its rooms.
import { mount } from 'svelte';
import './theme/index.css';
import { connectServices } from '../app/services/client/client.ts';
import { composeWorld } from './shell/compose.ts';
import Window from './shell/Window.svelte';

const target = document.querySelector('#app');
if (!target) throw new Error('index.html has no #app to mount the view in');
mount(Window, { target, props: { world: composeWorld(connectServices(), localStorage) } });
