const socket = new WebSocket(`ws://${location.host}/live`);
socket.onmessage = (m) => { document.getElementById('log').textContent += m.data + '\n'; };
